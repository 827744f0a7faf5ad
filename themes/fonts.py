"""Makes the subsets of Literata in hedgerow/assets/fonts/ again.

Source: the npm package @fontsource-variable/literata 5.3.0 (Literata by The Literata Project Authors, SIL Open Font License
1.1, hedgerow/assets/fonts/OFL.txt), which has it by script already. Here weights are kept from 400 to 700, and what the
pages do not use goes: hinting and vertical measures; in Latin and its extension the kerning too, which was a quarter of the file.

    npm pack @fontsource-variable/literata@5.3.0 && tar xzf fontsource-variable-literata-5.3.0.tgz
    pip install fonttools==4.60.1 brotli==1.1.0
    python themes/fonts.py package/files themes/hedgerow/assets/fonts
"""

import sys
from io import BytesIO
from pathlib import Path

from fontTools.subset import Options, Subsetter
from fontTools.ttLib import TTFont
from fontTools.varLib.instancer import instantiateVariableFont

#: By script, the features that are kept.
FEATURES = {
    "latin": ["ccmp", "liga", "locl"],
    "latin-ext": ["ccmp", "liga", "locl"],
    "cyrillic": ["ccmp", "kern", "mark"],
    "greek": ["ccmp", "kern", "mark"],
}


def make(source: Path, script: str) -> TTFont:
    font = TTFont(source / f"literata-{script}-wght-normal.woff2", recalcTimestamp=False)
    # Written and read again: a table that lost its last glyph is whole only then.
    limited = BytesIO()
    instantiateVariableFont(font, {"wght": (400, 400, 700)}).save(limited)
    limited.seek(0)
    font = TTFont(limited, recalcTimestamp=False)
    options = Options()
    options.layout_features = FEATURES[script]
    options.hinting = False
    options.drop_tables += ["vhea", "vmtx", "gasp", "MVAR"]
    options.name_IDs = [0, 1, 2, 13, 14]
    options.notdef_outline = True
    subsetter = Subsetter(options)
    subsetter.populate(unicodes=font.getBestCmap())
    subsetter.subset(font)
    font.flavor = "woff2"
    return font


def main() -> None:
    source, target = map(Path, sys.argv[1:3])
    for script in FEATURES:
        path = target / f"literata-{script}.woff2"
        make(source, script).save(path)
        print(f"{path}: {path.stat().st_size} bytes")


if __name__ == "__main__":
    main()
