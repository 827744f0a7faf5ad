// Search by names, titles, tags and words of prose. The names come first, then the years of the journal, newest first
// and each only when it is wanted: so a garden of thirty years asks no phone to read all of it at once. The words stand
// in scripts, because a page that was opened from disk may load nothing else.
"use strict";
{
  const ENOUGH = 20;
  const root = new URL("..", document.currentScript.src);
  const words = document.getElementById("search-words");
  const box = words.content.firstElementChild.cloneNode(true);
  const part = (name) => box.querySelector(`[data-part="${name}"]`);
  words.after(box);

  // What came so far: [text, folded words, address, remark].
  const known = [];
  let years = null;
  let waits = false;

  const folded = (text) => text.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase();

  function load(name) {
    waits = true;
    const script = Object.assign(document.createElement("script"), { src: new URL(`search/${name}.js`, root) });
    const goOn = () => {
      waits = false;
      look();
    };
    script.addEventListener("load", goOn);
    script.addEventListener("error", goOn);
    document.head.append(script);
  }

  globalThis.trugFound = (found) => {
    years ??= found.years;
    for (const [text, href, remark] of found.names) known.push([text, folded(text), href, remark]);
    for (const [text, href, remark, more] of found.entries ?? []) known.push([text, folded(`${text} ${more}`), href, remark]);
  };

  /** Every word has to begin a word of what is found; what has them in its name or title comes first. */
  function look() {
    const asked = folded(part("field").value).split(/[^\p{L}\p{N}]+/u).filter(Boolean);
    const begins = (text) => asked.every((word) => ` ${text.replace(/[^\p{L}\p{N}]+/gu, " ")}`.includes(` ${word}`));
    const hits = asked.length ? known.filter((one) => begins(one[1])) : [];
    hits.sort((a, b) => begins(folded(b[0])) - begins(folded(a[0])));
    part("hits").replaceChildren(...hits.slice(0, ENOUGH).map(([text, , href, remark]) => {
      const row = document.createElement("li");
      const link = Object.assign(document.createElement("a"), { href: new URL(href, root), textContent: text });
      row.append(link, " ", Object.assign(document.createElement("span"), { className: "aside", textContent: remark }));
      return row;
    }));
    const wantsMore = asked.length > 0 && hits.length < ENOUGH && !waits;
    if (wantsMore && years === null) load("names");
    else if (wantsMore && years.length) load(years.shift());
    part("none").hidden = !(asked.length && !hits.length && !waits);
  }

  part("field").addEventListener("input", look);
}
