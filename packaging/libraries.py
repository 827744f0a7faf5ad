"""The licences of the Rust libraries that stand in the program for TARGET: a list, then each text once with the libraries it is of.

python3 packaging/libraries.py TARGET
"""

import json
import subprocess
import sys
from collections import defaultdict
from pathlib import Path

BEGINNINGS = ("LICEN", "COPYING", "COPYRIGHT", "NOTICE", "UNLICENSE")


def linked(metadata):
    """The packages whose code is in the program: nothing that only builds or tests it."""
    nodes = {node["id"]: node for node in metadata["resolve"]["nodes"]}
    packages = {package["id"]: package for package in metadata["packages"]}
    root = metadata["resolve"]["root"]
    waiting, found = [root], set()
    while waiting:
        at = waiting.pop()
        if at in found or any("proc-macro" in target["kind"] for target in packages[at]["targets"]):
            continue
        found.add(at)
        used = (dep for dep in nodes[at]["deps"] if any(kind["kind"] is None for kind in dep["dep_kinds"]))
        waiting += [dep["pkg"] for dep in used]
    return sorted((packages[at] for at in found - {root}), key=lambda package: (package["name"], package["version"]))


def main():
    command = ["cargo", "metadata", "--locked", "--format-version", "1", "--filter-platform", sys.argv[1]]
    packages = linked(json.loads(subprocess.run(command, check=True, capture_output=True).stdout))
    assert packages, "the program stands on no library"
    texts = defaultdict(list)
    print("The Rust libraries that stand in trug. Beside them: Rust's standard library (MIT OR Apache-2.0) and musl libc (MIT).\n")
    for package in packages:
        name = f"{package['name']} {package['version']}"
        print(f"{name}: {package['license'] or 'see below'}; {', '.join(package['authors']) or 'authors: see below'}")
        folder = Path(package["manifest_path"]).parent
        for file in sorted(folder.iterdir()):
            if file.is_file() and file.name.upper().startswith(BEGINNINGS):
                texts[file.read_text(errors="replace").strip()].append(name)
    for text, names in sorted(texts.items(), key=lambda item: item[1]):
        print(f"\n{'=' * 79}\nOf {', '.join(names)}:\n\n{text}")


main()
