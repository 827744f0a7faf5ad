// Ticking: what was done becomes an entry in plain text, kept in this browser until it is filed. And what stands
// here is kept for when there is no network. Without this script the pages say the same.
"use strict";
{
  const root = new URL("..", document.currentScript.src);

  if ("serviceWorker" in navigator && location.protocol.startsWith("http")) {
    addEventListener("load", async () => {
      try {
        await navigator.serviceWorker.register(new URL("offline.js", root));
        const { active } = await navigator.serviceWorker.ready;
        const seen = performance.getEntriesByType("resource").map((one) => one.name);
        active.postMessage([location.href, ...seen, new URL("index.html", root).href, new URL("tasks/index.html", root).href]);
      } catch {
        // Then it does not work offline; nothing else is lost.
      }
    });
  }

  const words = document.getElementById("note-words");
  if (words) tick(words);

  function tick(words) {
    const place = `ticked ${root.pathname}`;
    const made = document.querySelector("[data-made]").dataset.made;
    // {lines: [{on, key, whom, amount}], prose}
    let note = { lines: [], prose: "" };
    try {
      note = { ...note, ...JSON.parse(localStorage.getItem(place)) };
    } catch {
      // Nothing is kept here, or nothing that can be read.
    }
    const keep = () => {
      try {
        localStorage.setItem(place, JSON.stringify(note));
      } catch {
        // A private window: it is kept as long as the page is.
      }
    };

    const panel = words.content.firstElementChild.cloneNode(true);
    const part = (name) => panel.querySelector(`[data-part="${name}"]`);
    const show = () => {
      panel.hidden = !note.lines.length && !note.prose;
      part("count").textContent = note.lines.length;
      part("text").textContent = composed(note);
      part("said").textContent = "";
    };
    document.querySelector("main").append(panel);
    part("prose").value = note.prose;
    part("prose").addEventListener("input", (event) => {
      note.prose = event.target.value;
      keep();
      part("text").textContent = composed(note);
    });

    for (const row of document.querySelectorAll(".day-jobs > [data-key]")) {
      const { key, whom, amount = "" } = row.dataset;
      // What was ticked before this page was made stands in the note, but the page knows better what is due.
      const find = () => note.lines.find((line) => line.key === key && line.whom === whom && line.on >= made);
      const box = Object.assign(document.createElement("input"), { type: "checkbox", checked: Boolean(find()) });
      box.setAttribute("aria-label", row.querySelector(".what").textContent);
      row.querySelector(".box").replaceWith(box);
      const asks = amount === "some" && !whom.includes("\n");
      const weight = asks && part("amount").content.firstElementChild.cloneNode(true);
      if (asks) {
        row.querySelector(".what").after(weight);
        weight.value = find() && find().amount !== "some" ? find().amount : "";
        weight.addEventListener("input", () => {
          if (find()) find().amount = weight.value.trim() || "some";
          keep();
          show();
        });
      }
      const mark = () => {
        row.classList.toggle("done", box.checked);
        if (asks) weight.hidden = !box.checked;
      };
      box.addEventListener("change", () => {
        note.lines = note.lines.filter((line) => line !== find());
        if (box.checked) note.lines.push({ on: today(), key, whom, amount: (asks && weight.value.trim()) || amount });
        mark();
        keep();
        show();
      });
      mark();
      row.forget = () => {
        box.checked = false;
        mark();
      };
    }

    const share = part("share");
    share.hidden = !navigator.share;
    share.addEventListener("click", () => navigator.share({ text: composed(note) }).catch(() => {}));
    part("copy").addEventListener("click", async () => {
      try {
        await navigator.clipboard.writeText(composed(note));
      } catch {
        getSelection().selectAllChildren(part("text"));
        if (!document.execCommand("copy")) return;
      }
      part("said").textContent = part("copied").content.textContent;
    });
    part("clear").addEventListener("click", () => {
      note = { lines: [], prose: "" };
      part("prose").value = "";
      panel.open = false;
      keep();
      show();
      for (const row of document.querySelectorAll(".day-jobs > [data-key]")) row.forget();
    });
    show();
  }

  /** The note as `trug jot --from` reads it: a date, short lines, an empty line, prose. */
  function composed({ lines, prose }) {
    const days = [...new Set([...lines.map((line) => line.on), ...(prose.trim() ? [today()] : [])])].sort();
    return days.map((day, number) => {
      const keys = new Map();
      for (const { key, whom, amount } of lines.filter((line) => line.on === day)) {
        const items = whom.split("\n").map((name) => (amount ? `{${quoted(name)}: ${quoted(amount)}}` : quoted(name)));
        keys.set(key, [...new Set([...(keys.get(key) ?? []), ...items])]);
      }
      const told = [...keys].map(([key, items]) => `${key}: ${items.length > 1 ? `[${items.join(", ")}]` : items[0]}\n`);
      const isLast = number === days.length - 1;
      return `${day}\n${told.join("")}${isLast && prose.trim() ? `\n${prose.trim()}\n` : ""}`;
    }).join("\n");
  }

  /** A text as YAML takes it for one. */
  function quoted(text) {
    const isPlain = !/[:#,[\]{}&*!|>'"%@`]|^[-? ]| $|^$/.test(text) && !/^(~|null|y|n|yes|no|on|off|true|false)$/i.test(text);
    return isPlain ? text : `'${text.replaceAll("'", "''")}'`;
  }

  /** The phone's own day. */
  function today() {
    const now = new Date();
    return [now.getFullYear(), now.getMonth() + 1, now.getDate()].map((part) => String(part).padStart(2, "0")).join("-");
  }
}
