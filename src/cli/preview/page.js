// What `trug preview` adds to a page: when the garden is made anew the page comes again, at the same place, and what is
// wrong in the journal is told below what stands.
"use strict";
{
  const script = document.currentScript;
  const { site } = script.dataset;
  const own = new URL(".", script.src);
  const PLACE = "trug preview: place";
  const AGAIN_MS = 1000;

  // A worker would keep these pages for whatever garden is previewed next at this address.
  if ("serviceWorker" in navigator) {
    navigator.serviceWorker.getRegistrations().then((all) => all.forEach((one) => one.unregister()), () => {});
    delete Navigator.prototype.serviceWorker;
  }

  const details = () => [...document.querySelectorAll("details")];

  function renew() {
    const open = details().map((one) => one.open);
    history.scrollRestoration = "manual";
    sessionStorage.setItem(PLACE, JSON.stringify({ page: location.pathname, x: scrollX, y: scrollY, open }));
    location.reload();
  }

  function back() {
    const place = JSON.parse(sessionStorage.getItem(PLACE));
    if (place?.page !== location.pathname) return;
    const all = details();
    if (all.length === place.open.length) all.forEach((one, index) => (one.open = place.open[index]));
    scrollTo({ left: place.x, top: place.y, behavior: "instant" });
  }

  addEventListener("DOMContentLoaded", back);
  addEventListener("load", () => {
    back();
    sessionStorage.removeItem(PLACE);
    history.scrollRestoration = "auto";
  });

  let strip = null;

  function element(name, kind, ...inside) {
    const made = document.createElement(name);
    made.className = kind;
    made.append(...inside);
    return made;
  }

  /** A sentence in which what can be typed stands between backticks. */
  const words = (sentence) => sentence.split("`").map((part, index) => (index % 2 ? element("code", "", part) : part));

  /** One problem: its file and line, what is wrong, and what to do. */
  function told({ file, line, severity, message, hints }) {
    const where = file ? `: ${file}, line ${line}` : "";
    const head = element("p", "where", element("span", "kind", severity), where);
    return element("li", severity, head, element("p", "message", ...words(message)), ...hints.map((hint) => element("p", "hint", ...words(hint.words))));
  }

  const count = (number, what) => `${number} ${what}${number === 1 ? "" : "s"}`;

  function show({ errors, warnings, problems }) {
    if (!problems.length) return put(null);
    const counts = [errors && count(errors, "error"), warnings && count(warnings, "warning")].filter(Boolean).join(" and ");
    const stays = errors && site ? ". The page stays as it was until this is mended." : "";
    const list = element("details", "", element("summary", "", counts + stays), element("ul", "", ...problems.map(told)));
    list.open = errors > 0;
    put(list, errors > 0);
  }

  function put(inside, isError) {
    if (!inside && !strip) return;
    if (!strip) {
      const host = document.createElement("aside");
      host.id = "trug-preview";
      host.setAttribute("aria-label", "trug preview");
      const style = Object.assign(document.createElement("link"), { rel: "stylesheet", href: new URL("page.css", own) });
      strip = document.createElement("div");
      strip.setAttribute("role", "status");
      host.attachShadow({ mode: "open" }).append(style, strip);
      document.body.append(host);
      // The foot of the page can be read above it.
      new ResizeObserver(() => (document.documentElement.style.paddingBottom = `${strip.offsetHeight}px`)).observe(strip);
    }
    strip.className = isError ? "strip error" : "strip";
    strip.hidden = !inside;
    strip.replaceChildren(inside ?? "");
  }

  const pause = (milliseconds) => new Promise((go) => setTimeout(go, milliseconds));
  /** A browser has few connections to a host: a page that nobody looks at keeps none. */
  const seen = () => new Promise((go) => {
    if (!document.hidden) return go();
    document.addEventListener("visibilitychange", () => go(), { once: true });
  });

  async function listen() {
    let turn = "";
    for (;;) {
      await seen();
      const over = new AbortController();
      const hide = () => over.abort();
      document.addEventListener("visibilitychange", hide, { once: true });
      try {
        const answer = await fetch(new URL(`news?after=${turn}`, own), { cache: "no-store", signal: over.signal });
        const news = await answer.json();
        if (news.site !== site) return renew();
        if (news.turn !== turn) show(news.problems);
        turn = news.turn;
      } catch {
        if (!over.signal.aborted) {
          turn = "";
          put(element("p", "", "trug preview has ended: this page is as it was last."), false);
          await pause(AGAIN_MS);
        }
      } finally {
        document.removeEventListener("visibilitychange", hide);
      }
    }
  }

  addEventListener("DOMContentLoaded", listen);
}
