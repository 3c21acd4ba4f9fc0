"use strict";
(() => {
  // The file as it was opened, before anything of it is changed: a copy is this text with other answers in it.
  const source = "<!DOCTYPE html>\n" + document.documentElement.outerHTML;
  const byId = (id) => document.getElementById(id);
  const told = JSON.parse(byId("form").textContent);
  const fields = new Map();
  const USUAL = { unit: "", gauge: "", dimension: "", marks: [], possible: [], comma: [], only_for: [], only_if: [] };
  for (const sheet of told.sheets) for (const box of sheet.boxes) fields.set(box.id, { ...USUAL, ...told.rows[box.is], ...box });
  // What each field has beside it: its name in full for who only hears it, and where it says that a figure is odd.
  const made = (parent, tag, words, told_of = {}) => {
    const element = document.createElement(tag);
    Object.assign(element, told_of);
    element.textContent = words;
    parent.append(element);
    return element;
  };
  const furnish = () => {
    for (const box of fields.values()) {
      const field = byId(box.id);
      const label = field.parentElement.querySelector("label");
      made(label, "span", box.writes === "entry" ? ` ${box.part}` : ` ${box.label}, ${box.part}`, { className: "aside" });
      made(field.parentElement, "p", "", { id: `past-${box.id}`, className: "past", hidden: true });
      if (box.possible.length === 0) continue;
      const sure = made(field.parentElement, "div", "", { id: `outside-${box.id}`, className: "sure", hidden: true });
      made(sure, "label", `Can hardly be: ${box.possible[2]} is possible. Read it again. If it is so, how was it made sure?`, { htmlFor: `sure-${box.id}` });
      const how = made(sure, "input", "", { id: `sure-${box.id}`, type: "text", maxLength: 200, spellcheck: false });
      how.dataset.sure = "";
    }
  };
  furnish();
  const empty = () => ({ copy: "", entries: {}, photographs: [] });
  const answers = Object.assign(empty(), JSON.parse(byId("answers").textContent));
  let unsaved = false;

  // What was typed is kept one entry a field, so that two windows with the same form don't undo each other.
  const prefix = ["carknocker", told.record, told.as_of, told.layout, answers.copy || "first", ""].join("|");
  let store = null;
  const say = (words) => { byId("says").textContent = words; };
  const openStore = () => {
    try {
      const place = window.localStorage;
      place.setItem(prefix, "1");
      if (place.getItem(prefix) !== "1") return null;
      place.removeItem(prefix);
      return place;
    } catch (_) {
      return null;
    }
  };
  const NOT_KEPT = "This browser keeps nothing for a file like this one. Save a copy before you close it.";
  const keep = (id, value) => {
    unsaved = true;
    if (value === "") delete answers.entries[id]; else answers.entries[id] = value;
    if (store === null) return;
    try {
      // An empty entry is kept as well: it says that the answer of the copy was taken out again.
      store.setItem(prefix + id, value);
    } catch (_) {
      store = null;
      byId("keeps").textContent = "This browser has no room left. What you type from now on stands only on this page: save a copy.";
    }
  };

  // Figures are compared as whole numbers over whole numbers; nothing is rounded.
  const DIGITS = "(?:[1-9]\\d{0,2}(?:,\\d{3})+|\\d+)";
  const FIGURE = new RegExp(`^([+-]\\s*)?(?:(?:(${DIGITS})(?:\\s+|\\s*-\\s*))?(\\d+)\\s*/\\s*(\\d+)|((?:${DIGITS})(?:\\.\\d+)?|\\.\\d+))`);
  const VULGAR = { "½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8", "⅓": "1/3", "⅔": "2/3" };
  const plain = (text) => {
    let written = text.trim().replace(/−/g, "-").replace(/⁄/g, "/").replace(/[\u00a0\u202f]/g, " ").replace(/‑/g, "-");
    for (const [sign, words] of Object.entries(VULGAR)) {
      written = written.replace(new RegExp(`(\\d)\\s*${sign}`, "g"), `$1 ${words}`).split(sign).join(words);
    }
    return written;
  };
  const decimal = (text) => {
    const [whole, part = ""] = text.replace(/,/g, "").split(".");
    return { over: BigInt((whole || "0") + part), under: 10n ** BigInt(part.length) };
  };
  const times = (one, over, under) => ({ over: one.over * over, under: one.under * under });
  const plus = (one, other) => ({ over: one.over * other.under + other.over * one.under, under: one.under * other.under });
  const unitAt = (rest, units) => {
    const lowered = rest.toLowerCase();
    let found = "";
    for (const unit of Object.keys(units)) {
      if (unit.length > found.length && (rest.startsWith(unit) || (unit.length > 1 && lowered.startsWith(unit.toLowerCase())))) found = unit;
    }
    return found;
  };
  const amountOf = (text, dimension, usual) => {
    const units = told.units[dimension] || {};
    let rest = plain(text);
    if (rest === "" || rest.length > 60) return null;
    let sum = null;
    let negative = false;
    for (let piece = 0; rest !== ""; piece += 1) {
      const match = FIGURE.exec(rest);
      if (match === null || piece > 1) return null;
      let one;
      if (match[3] !== undefined) {
        const under = BigInt(match[4]);
        if (under === 0n) return null;
        one = { over: BigInt((match[2] || "0").replace(/,/g, "")) * under + BigInt(match[3]), under };
      } else {
        one = decimal(match[5]);
      }
      const minus = (match[1] || "").startsWith("-");
      if (piece === 0) negative = minus;
      rest = rest.slice(match[0].length).trim();
      let unit = "";
      if (dimension !== "count") {
        unit = rest === "" && piece === 0 ? usual : unitAt(rest, units);
        if (!(unit in units)) return null;
        if (rest !== "") rest = rest.slice(unit.length);
        const [over, under, offsetOver, offsetUnder] = units[unit].map(BigInt);
        one = times(one, over, under);
        if (piece === 0 && negative) one = { over: -one.over, under: one.under };
        one = plus(one, { over: offsetOver, under: offsetUnder });
      } else if (rest !== "") {
        return null;
      }
      if (piece === 1 && negative) one = { over: -one.over, under: one.under };
      sum = sum === null ? one : plus(sum, one);
      rest = rest.replace(/^[\s-]+/, "");
    }
    return sum;
  };
  const HOLDS = {
    at_least: (sign) => sign >= 0n, over: (sign) => sign > 0n, at_most: (sign) => sign <= 0n, under: (sign) => sign < 0n,
  };
  // What is read of a leak is worked out when the form is entered: `before 90 psi after 88 psi minutes 1`.
  const DROP = /^before\s+\S.*\safter\s+\S.*\sminutes\s+\S/;
  const BOUND = new RegExp(`^(?:${told.bound})\\s+`);
  // What is only a bound, `over 1 in`, is compared by the judgement.
  const isBound = (box, text) => box.writes !== "entry" && BOUND.test(text) && amountOf(text.replace(BOUND, ""), box.dimension, box.unit) !== null;
  const pastLimits = (box, text) => {
    const amount = amountOf(text, box.dimension, box.unit);
    if (amount === null) return null;
    return box.marks.filter(([word, over, under]) => !HOLDS[word](amount.over * BigInt(under) - BigInt(over) * amount.under)).map((mark) => mark[3]);
  };

  // A comma before three digits may be a point: asked in the words in which the reader of the form refuses it.
  const FIGURE_WITH_A_COMMA = new RegExp(told.comma.figure, "g");
  const BARE = new RegExp(`^(?:${told.bare})$`);
  const isIn = (amount, [least, most]) => {
    const from = ([over, under]) => amount.over * BigInt(under) - BigInt(over) * amount.under;
    return (least.length === 0 || from(least) >= 0n) && (most.length === 0 || from(most) <= 0n);
  };
  const commaInDoubt = (box, typed) => {
    if (box.comma.length === 0) return "";
    const withUnit = box.unit !== "" && BARE.test(typed) ? `${typed} ${box.unit}` : typed;
    const text = box.writes === "entry" ? withUnit : withUnit.replace(BOUND, "");
    const plain = text.replace(FIGURE_WITH_A_COMMA, "$1$2");
    const point = text.replace(FIGURE_WITH_A_COMMA, "$1.$2");
    if (plain === text) return "";
    const [whole, parted] = [plain, point].map((one) => amountOf(one, box.dimension, box.unit));
    const [possible, usual, thousandsCount] = box.comma;
    if (whole === null || parted === null || !isIn(parted, possible)) return "";
    const eitherIsUsual = usual.length === 0 || !isIn(whole, usual) || isIn(parted, usual);
    if (isIn(whole, possible) && (thousandsCount || !eitherIsUsual)) return "";
    const says = { text: text.slice(0, 40), point, plain };
    return told.comma.says.replace(/\{(\w+)\}/g, (_, key) => says[key]);
  };

  // A figure that can hardly be is taken only with how it was made sure; the place for that shows at once.
  const isOutside = (box, text) => {
    const amount = box.possible.length === 0 || text === "" ? null : amountOf(text, box.dimension, box.unit);
    if (amount === null) return false;
    return !isIn(amount, box.possible);
  };

  const valueOf = (field) => {
    if (field.type === "checkbox") return field.checked ? "yes" : "";
    if (field.multiple) return [...field.selectedOptions].map((option) => option.value).join(", ");
    return field.value.trim();
  };
  const put = (field, value) => {
    if (field.type === "checkbox") field.checked = value === "yes";
    else if (field.multiple) for (const option of field.options) option.selected = value.split(", ").includes(option.value);
    else field.value = value;
  };
  const check = (field) => {
    const box = fields.get(field.id);
    if (box === undefined) return;
    const words = byId("past-" + field.id);
    const text = valueOf(field);
    const drop = box.dimension === "pressure per minute" && DROP.test(text);
    const asked = box.marks.length > 0 && text !== "" && text !== "-" && !drop && !isBound(box, text);
    const doubt = commaInDoubt(box, text);
    const past = asked && doubt === "" ? pastLimits(box, text) : [];
    field.classList.toggle("is-past", past !== null && past.length > 0);
    words.classList.toggle("odd", past === null || doubt !== "");
    words.hidden = doubt === "" && past !== null && past.length === 0;
    if (doubt !== "") words.textContent = doubt;
    else if (past === null) words.textContent = `Not read as a figure; write it like ${box.dimension === "length" ? "1-3/16 in" : "12 " + box.unit}`;
    else if (past.length > 0) words.textContent = `Past the limit: must be ${past.join("; ")}. Read it again.`;
    else words.textContent = "";
    const place = byId("outside-" + field.id);
    if (place === null) return;
    place.hidden = doubt !== "" || !isOutside(box, text);
    const sure = byId("sure-" + field.id);
    if (place.hidden && valueOf(sure) !== "") {
      put(sure, "");
      keep(sure.id, "");
    }
  };
  const count = () => {
    told.sheets.forEach((sheet, number) => {
      const filled = sheet.boxes.filter((box) => answers.entries[box.id]).length;
      const ticked = sheet.ticks.filter((tick) => answers.entries[tick.id]).length;
      document.querySelector(`[data-count="${number}"]`).textContent = filled + ticked ? `(${filled + ticked} filled in)` : "";
    });
  };
  const everyField = () => document.querySelectorAll("[data-field], [data-tick], [data-head], [data-sure]");

  // A head that was filled in once stands on the sheets that have none yet; what was read after an event each says itself.
  const spread = (field) => {
    if (field.dataset.head === "taken") return;
    if (field.type === "date" && Number(field.value.slice(0, 4)) < 1900) return; // its year is still being typed
    const alike = [...document.querySelectorAll("[data-head]")].filter((one) => one.dataset.head === field.dataset.head && (one.dataset.tool || "") === (field.dataset.tool || ""));
    for (const one of alike) {
      if (one !== field && valueOf(one) === "") {
        put(one, valueOf(field));
        keep(one.id, valueOf(one));
      }
    }
  };
  // Of a job only what goes with its kind is asked: the first box of an entry says which it is.
  const unfold = (field) => {
    const fieldset = field.closest("fieldset");
    const rows = fieldset === null ? [] : [...fieldset.querySelectorAll("[data-only]")];
    if (rows.length === 0 || field !== fieldset.querySelector("[data-field]")) return;
    for (const row of rows) {
      const one = row.querySelector("[data-field]");
      row.hidden = !fields.get(one.id).only_for.includes(valueOf(field));
      if (row.hidden && valueOf(one) !== "") {
        put(one, "");
        keep(one.id, "");
      }
    }
    if (valueOf(field) !== "" && fieldset.parentElement.tagName === "DETAILS") fieldset.parentElement.open = true;
  };
  // What is wanted only if another box says so stands folded until that box says it; where that box is on another
  // sheet, only once it says otherwise. Nothing that was typed is ever folded.
  const tickOf = new Map();
  for (const sheet of told.sheets) for (const tick of sheet.ticks) for (const id of Object.keys(tick.says)) tickOf.set(id, tick);
  const saidIn = (id) => {
    const tick = tickOf.get(id);
    return valueOf(byId(id)) || (tick !== undefined && byId(tick.id).checked ? tick.says[id] : "");
  };
  const isWanted = (box) => box.only_if.every(([id, words, near]) => {
    const said = saidIn(id);
    return said === "" || said === "-" ? !near : words.includes(said);
  });
  const conditional = [...fields.values()].filter((box) => box.only_if.length > 0);
  const asking = new Set(conditional.flatMap((box) => box.only_if.map(([id]) => id)));
  const fold = () => {
    const around = new Set();
    for (const box of conditional) {
      const field = byId(box.id);
      const place = field.closest(".field");
      place.hidden = valueOf(field) === "" && !isWanted(box);
      around.add(place.closest(".row") || place.closest("fieldset"));
    }
    for (const group of around) {
      const tick = group.querySelector("[data-tick]");
      group.hidden = [...group.querySelectorAll(".field")].every((one) => one.hidden) && (tick === null || !tick.checked);
    }
  };
  // A person or gauge that is written into this form is offered where one is chosen.
  const offer = () => {
    for (const option of document.querySelectorAll("option[data-new]")) option.remove();
    for (const box of fields.values()) {
      const name = valueOf(byId(box.id));
      const sort = box.attribute === "name" && name !== "" ? box.part.replace(/ \d+$/, "") : "";
      const lists = sort === "person" ? [byId("people")] : sort === "gauge" ? document.querySelectorAll("datalist[id^=gauges-]") : [];
      for (const list of lists) {
        const option = document.createElement("option");
        option.value = name;
        option.dataset.new = "";
        list.append(option);
      }
    }
  };
  const changed = (field) => {
    const own = fields.get(field.id);
    if (own !== undefined && own.attribute === "name") offer();
    keep(field.id, valueOf(field));
    check(field);
    unfold(field);
    if (asking.has(field.id) || field.dataset.tick !== undefined || field.closest("[data-if]") !== null) fold();
    count();
  };

  // Photographs are made small at once. They live in this page and in its copies, never in the browser's store.
  const MOST_PIXELS = 1600;
  const digestOf = async (bytes) => {
    if (!window.crypto || !window.crypto.subtle) return "";
    const digest = new Uint8Array(await window.crypto.subtle.digest("SHA-256", bytes));
    return [...digest].map((one) => one.toString(16).padStart(2, "0")).join("");
  };
  const small = (file) => new Promise((give, refuse) => {
    const address = URL.createObjectURL(file);
    const image = new Image();
    image.onerror = () => { URL.revokeObjectURL(address); refuse(new Error("no picture")); };
    image.onload = () => {
      const scale = Math.min(1, MOST_PIXELS / Math.max(image.naturalWidth, image.naturalHeight));
      const canvas = document.createElement("canvas");
      canvas.width = Math.max(1, Math.round(image.naturalWidth * scale));
      canvas.height = Math.max(1, Math.round(image.naturalHeight * scale));
      canvas.getContext("2d").drawImage(image, 0, 0, canvas.width, canvas.height);
      URL.revokeObjectURL(address);
      give(canvas.toDataURL("image/jpeg", 0.8));
    };
    image.src = address;
  });
  // Where the form sends itself, the browser keeps photographs too, in a store that has room for them. keep: after each
  // change; kept: whether all of them are.
  const album = { keep: () => {}, kept: false };
  const showPhotographs = () => {
    album.keep();
    document.querySelectorAll(".sheet").forEach((section) => {
      const list = section.querySelector("[data-photographs]");
      if (list === null) return;
      list.replaceChildren();
      answers.photographs.forEach((one, number) => {
        if (one.sheet !== told.sheets[Number(section.dataset.sheet)].name) return;
        const item = document.createElement("li");
        const image = document.createElement("img");
        image.src = one.data;
        image.alt = `Photograph of ${one.part}`;
        const away = document.createElement("button");
        away.type = "button";
        away.textContent = "Take it out";
        away.addEventListener("click", () => { answers.photographs.splice(number, 1); unsaved = true; showPhotographs(); });
        item.append(image, `${one.part}, ${one.name} `, away);
        list.append(item);
      });
    });
  };
  const addPhotograph = async (input) => {
    const section = input.closest(".sheet");
    const file = input.files[0];
    if (file === undefined) return;
    try {
      const data = await small(file);
      const head = (name) => valueOf(section.querySelector(`[data-head="${name}"]`));
      answers.photographs.push({
        sheet: told.sheets[Number(section.dataset.sheet)].name, part: section.querySelector("[data-photograph-of]").value,
        name: file.name.slice(0, 80), on: head("on"), by: head("by"), data, original: await digestOf(await file.arrayBuffer()),
      });
      unsaved = true;
      say(album.kept ? "The photograph is kept here until it is sent." : "The photograph stands on this page only. Save a copy to keep it.");
    } catch (_) {
      say(`${file.name} is no picture that this browser can read.`);
    }
    input.value = "";
    showPhotographs();
  };

  const copyText = (name, entries = answers.entries, photographs = answers.photographs) => {
    const copy = { copy: name, entries, photographs };
    const data = JSON.stringify(copy).replace(/</g, "\\u003c").replace(/>/g, "\\u003e").replace(/&/g, "\\u0026");
    const mark = '<script type="application/json" id="answers">';
    const start = source.indexOf(mark) + mark.length;
    return source.slice(0, start) + data + source.slice(source.indexOf("</" + "script>", start));
  };
  const copyFile = () => {
    const name = told.car.replace(/[^A-Za-z0-9]+/g, "-").toLowerCase();
    return new File([copyText(`${Date.now()}-${Math.floor(Math.random() * 1e9)}`)], `form-${name}-filled.html`, { type: "text/html" });
  };
  const saveCopy = () => {
    const file = copyFile();
    const link = document.createElement("a");
    link.href = URL.createObjectURL(file);
    link.download = file.name;
    document.body.append(link);
    link.click();
    link.remove();
    window.setTimeout(() => URL.revokeObjectURL(link.href), 60000);
    unsaved = false;
    say(`A copy was handed to the browser as ${file.name}. Look in its downloads.`);
  };
  const sendCopy = async () => {
    try {
      await navigator.share({ files: [copyFile()], title: `Form: ${told.title}` });
      unsaved = false;
    } catch (_) {
      say("It was not sent. Save a copy, and mail that.");
    }
  };

  // Keys for fractions, big enough for gloves.
  const KEYS = ["1", "2", "3", "4", "5", "/2", "6", "7", "8", "9", "0", "/4", "-", ".", " ft ", " in", "⌫", "/8", "/16", "/32", "/64", "abc", "next", "close"];
  const SPOKEN = { "⌫": "take one character out", "-": "between whole and fraction", " ft ": "feet", " in": "inches", "abc": "letters" };
  let current = null;
  const keypad = byId("keypad");
  const press = (key) => {
    if (current === null) return;
    if (key === "close") { current.blur(); keypad.hidden = true; return; }
    if (key === "abc") { current.inputMode = "text"; current.blur(); current.focus(); return; }
    if (key === "next") {
      const all = [...everyField()].filter((one) => one.offsetParent !== null);
      const following = all[all.indexOf(current) + 1];
      if (following) following.focus();
      return;
    }
    const from = current.selectionStart === null ? current.value.length : current.selectionStart;
    const to = current.selectionEnd === null ? from : current.selectionEnd;
    const value = current.value;
    if (key === "⌫") {
      const start = from === to ? Math.max(0, from - 1) : from;
      current.value = value.slice(0, start) + value.slice(to);
      current.setSelectionRange(start, start);
    } else {
      current.value = (value.slice(0, from) + key + value.slice(to)).slice(0, 60);
      current.setSelectionRange(from + key.length, from + key.length);
    }
    changed(current);
  };
  for (const key of KEYS) {
    const button = document.createElement("button");
    button.type = "button";
    button.tabIndex = -1;
    button.textContent = key.trim();
    if (key in SPOKEN) button.setAttribute("aria-label", SPOKEN[key]);
    button.addEventListener("pointerdown", (event) => event.preventDefault());
    button.addEventListener("mousedown", (event) => event.preventDefault());
    button.addEventListener("click", () => press(key));
    keypad.append(button);
  }

  const begin = () => {
    store = openStore();
    byId("no-script").hidden = true;
    byId("keeps").hidden = false;
    byId("keeps").textContent = store === null ? NOT_KEPT : "This browser keeps what you type, but no photograph. Save a copy when you are done.";
    for (const field of everyField()) {
      const kept = store === null ? null : store.getItem(prefix + field.id);
      if (kept !== null) { if (kept === "") delete answers.entries[field.id]; else answers.entries[field.id] = kept; }
      put(field, answers.entries[field.id] || "");
      check(field);
      field.addEventListener(field.tagName === "SELECT" || field.type === "checkbox" ? "change" : "input", () => changed(field));
      if (field.dataset.head) field.addEventListener("change", () => { changed(field); spread(field); });
      if (field.dataset.keypad) {
        if (window.matchMedia("(pointer: coarse)").matches) field.inputMode = "none";
        field.addEventListener("focus", () => { current = field; keypad.hidden = !window.matchMedia("(pointer: coarse)").matches; });
      } else {
        field.addEventListener("focus", () => { current = null; keypad.hidden = true; });
      }
    }
    for (const field of everyField()) {
      check(field);
      unfold(field);
    }
    document.querySelectorAll("[data-photograph]").forEach((input) => input.addEventListener("change", () => addPhotograph(input)));
    byId("save-copy").addEventListener("click", saveCopy);
    byId("send-copy").addEventListener("click", sendCopy);
    byId("send-copy").hidden = !(navigator.canShare && navigator.canShare({ files: [new File(["x"], "x.html", { type: "text/html" })] }));
    byId("empty-form").addEventListener("click", () => {
      if (!window.confirm("Take out all that was typed and photographed here?")) return;
      for (const field of everyField()) { put(field, ""); keep(field.id, ""); check(field); unfold(field); }
      fold();
      answers.photographs = [];
      showPhotographs();
      count();
    });
    window.addEventListener("storage", (event) => {
      if (event.key === null || !event.key.startsWith(prefix)) return;
      const field = byId(event.key.slice(prefix.length));
      if (field === null || field === document.activeElement) { say("This form is open in another window too, and the same box was filled in there. Use one window."); return; }
      if (event.newValue === null || event.newValue === "") delete answers.entries[field.id]; else answers.entries[field.id] = event.newValue;
      put(field, event.newValue || "");
      check(field);
      unfold(field);
      fold();
      count();
      say("This form is open in another window too; what is typed there shows up here.");
    });
    window.addEventListener("beforeunload", (event) => {
      if (unsaved && (store === null || (answers.photographs.length > 0 && !album.kept))) event.preventDefault();
    });
    byId("form-of-the-car").addEventListener("submit", (event) => event.preventDefault());
    fold();
    byId("form-of-the-car").hidden = false;
    showPhotographs();
    offer();
    count();
    if (typeof sending === "function") {
      const take = (id) => { const field = byId(id); if (field !== null) { put(field, ""); changed(field); } };
      sending({ told, prefix, fields, openStore, answers, valueOf, take, copyText, showPhotographs, album });
    }
  };
  begin();
})();
