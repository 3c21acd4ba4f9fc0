"use strict";
// Shows each problem of a text at its line while it is typed: the service looks it through at each pause.
(() => {
  const PAUSE = 500;
  const text = document.getElementById("text");
  const lines = document.getElementById("lines");
  const list = document.getElementById("problems");
  const said = document.getElementById("looked-through");
  const address = text.form.dataset.lookThrough;
  let timer = 0;
  let asked = 0;
  let found = [];

  const number = () => {
    const bad = new Set(found.map((one) => one.line));
    const count = text.value.split("\n").length;
    lines.textContent = Array.from({ length: count }, (_, line) => (bad.has(line + 1) ? "✗ " : "") + String(line + 1)).join("\n");
    lines.scrollTop = text.scrollTop;
  };
  const go = (one) => {
    const rows = text.value.split("\n");
    const start = rows.slice(0, one.line - 1).reduce((sum, row) => sum + row.length + 1, 0);
    const at = start + Math.min(Math.max(one.column - 1, 0), (rows[one.line - 1] || "").length);
    text.focus();
    text.setSelectionRange(at, start + (rows[one.line - 1] || "").length);
    text.scrollTop = (one.line - 4) * parseFloat(window.getComputedStyle(text).lineHeight);
  };
  const show = () => {
    list.replaceChildren(...found.map((one) => {
      const item = document.createElement("li");
      const button = document.createElement("button");
      button.type = "button";
      button.textContent = `Line ${one.line}`;
      button.addEventListener("click", () => go(one));
      const more = [one.expected && `expected: ${one.expected}`, one.nearest && `nearest right word: ${one.nearest}`, one.to_do && `to do: ${one.to_do}`];
      item.append(button, ` ${[one.found, ...more].filter(Boolean).join("; ")}`);
      return item;
    }));
    said.textContent = found.length === 0 ? "Nothing is wrong with the text." : `${found.length} ${found.length === 1 ? "problem" : "problems"}; nothing is written until that is put right.`;
    number();
  };
  const look = async () => {
    asked += 1;
    const own = asked;
    const whole = text.value;
    let answer = null;
    try {
      const response = await window.fetch(address, {
        method: "POST", body: JSON.stringify({ text: whole }), headers: { "Content-Type": "application/json" },
      });
      answer = response.ok ? await response.json() : null;
    } catch (_) { /* said below */ }
    if (own !== asked || whole !== text.value) return; // more was typed meanwhile
    if (answer === null) { said.textContent = "The service did not look it through: no answer."; return; }
    found = answer.problems.filter((one) => one.file === text.form.dataset.file);
    show();
  };
  text.addEventListener("input", () => {
    number();
    window.clearTimeout(timer);
    timer = window.setTimeout(look, PAUSE);
  });
  text.addEventListener("scroll", () => { lines.scrollTop = text.scrollTop; });
  lines.hidden = false;
  number();
  if (list.children.length === 0) look();
})();
