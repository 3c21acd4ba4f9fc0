// Sends the form to the service that handed it out. What was typed stays until the service says that it has it; where
// there is no signal, it is sent again when the network is back.
const sending = ({ told, prefix, fields, openStore, answers, valueOf, take, copyText, showPhotographs, album }) => {
  const byId = (id) => document.getElementById(id);
  const place = byId("send");
  if (place === null) return;
  if (!/^https?:$/.test(window.location.protocol)) { place.hidden = true; return; }
  const FIRST_WAIT = 5000;
  const LONGEST_WAIT = 120000;
  // A signal that is lost on the way ends no request by itself for many minutes. The service answers within this time,
  // or never; what is sent again goes out under the same key.
  const LONGEST_ANSWER = 180000;
  const key = prefix.replace(/^carknocker\|/, "carknocker-sending|");
  const store = openStore();
  let pending = null;
  let busy = false;
  let wait = FIRST_WAIT;
  let timer = 0;
  const say = (words) => { byId("sent").textContent = words; };
  const draw = () => [...window.crypto.getRandomValues(new Uint8Array(16))].map((one) => one.toString(16).padStart(2, "0")).join("");

  // What is being sent outlasts a reload, so that the same form goes out under the same key; so do photographs, in a
  // store of their own, since the one of what was typed has no room for them.
  let pictures = null;
  const openPictures = () => new Promise((resolve) => {
    try {
      const asked = window.indexedDB.open("carknocker", 1);
      asked.onupgradeneeded = () => asked.result.createObjectStore("photographs");
      asked.onsuccess = () => resolve(asked.result);
      asked.onerror = () => resolve(null);
      asked.onblocked = () => resolve(null);
    } catch (_) {
      resolve(null);
    }
  });
  const inPictures = (mode, act) => new Promise((resolve, reject) => {
    const whole = pictures.transaction("photographs", mode);
    const asked = act(whole.objectStore("photographs"));
    whole.oncomplete = () => resolve(asked.result);
    whole.onabort = () => reject(whole.error);
  });
  const put = (name, photographs) => inPictures("readwrite", (shelf) => photographs.length > 0 ? shelf.put(photographs, name) : shelf.delete(name));
  const keepPictures = async () => {
    try {
      await put(prefix, answers.photographs);
      album.kept = true;
    } catch (_) {
      album.kept = false;
      say("This browser has no room for photographs: they stand on this page only. Send them, or save a copy.");
    }
  };
  const keepPending = async () => {
    if (store === null) return;
    try {
      if (pictures !== null) await put(key, pending === null ? [] : pending.photographs);
      if (pending === null || (pictures === null && pending.photographs.length > 0)) store.removeItem(key);
      else store.setItem(key, JSON.stringify({ name: pending.name, entries: pending.entries, photographs: pending.photographs.length }));
    } catch (_) {
      store.removeItem(key); // then it is pressed again after a reload
    }
  };
  const readPending = async () => {
    try {
      const kept = store === null ? null : JSON.parse(store.getItem(key));
      if (kept === null) return null;
      const photographs = kept.photographs > 0 && pictures !== null ? await inPictures("readonly", (shelf) => shelf.get(key)) : [];
      return photographs.length === kept.photographs ? { ...kept, photographs } : null;
    } catch (_) {
      return null;
    }
  };
  const isSame = (one, other) => ["sheet", "part", "name", "on", "by", "data"].every((part) => one[part] === other[part]);

  const under = (id, words, bad) => {
    const field = byId(id);
    if (field === null) return;
    let line = byId("told-" + id);
    if (line === null) {
      line = document.createElement("p");
      line.id = "told-" + id;
      (field.closest("label") || field).after(line);
      field.setAttribute("aria-describedby", [field.getAttribute("aria-describedby"), line.id].filter(Boolean).join(" "));
    }
    line.className = bad ? "past" : "entered";
    line.textContent = words;
    if (bad) field.setAttribute("aria-invalid", "true"); else field.removeAttribute("aria-invalid");
  };
  const clearWords = () => {
    for (const line of document.querySelectorAll("[id^=told-]")) {
      const field = byId(line.id.slice("told-".length));
      field.removeAttribute("aria-invalid");
      field.removeAttribute("aria-describedby");
      line.remove();
    }
    byId("not-taken").replaceChildren();
  };
  const listed = (words, id) => {
    const item = document.createElement("li");
    if (id) {
      const link = document.createElement("a");
      link.href = "#" + id;
      link.textContent = words;
      link.addEventListener("click", (event) => {
        event.preventDefault();
        const field = byId(id);
        for (let one = field.parentElement; one !== null; one = one.parentElement) if (one.tagName === "DETAILS") one.open = true;
        field.focus();
      });
      item.append(link);
    } else {
      item.textContent = words;
    }
    byId("not-taken").append(item);
  };
  const refuse = (problems) => {
    for (const one of problems) {
      const words = `${one.found}${one.expected ? "; expected: " + one.expected : ""}${one.to_do ? "; to do: " + one.to_do : ""}`;
      const id = one.field > 0 ? `f${one.field}` : "";
      if (id && byId(id) !== null) under(id, `Not entered: ${words}`, true);
      listed(`Not entered: ${words}`, id);
    }
  };

  const taken = (answer) => {
    const held = new Set(answer.held.map((one) => one.name));
    const left = new Set(answer.photographs_left);
    const gone = pending.photographs.filter((_, number) => !left.has(number + 1));
    answers.photographs = answers.photographs.filter((one) => !gone.some((other) => isSame(one, other)));
    let count = 0;
    for (const sheet of told.sheets) {
      if (held.has(sheet.name)) continue;
      for (const id of [...sheet.boxes.map((box) => box.id), ...sheet.ticks.map((tick) => tick.id)]) {
        const sent = pending.entries[id] || "";
        if (sent === "") continue;
        count += 1;
        // what was typed over it meanwhile stays, to be sent next
        if (valueOf(byId(id)) === sent) { take(id); take("sure-" + id); }
        under(id, sent === "yes" && !fields.has(id) ? "Entered" : `Entered: ${sent}`, false);
      }
    }
    for (const one of answer.doubtful) listed(`Look again, while the gauge is in hand: ${one}`);
    for (const one of answer.notes) listed(one);
    for (const one of answer.held) refuse(one.problems);
    const some = `Entered: ${count} ${count === 1 ? "answer" : "answers"}${gone.length ? ` and ${gone.length} photograph${gone.length === 1 ? "" : "s"}` : ""}.`;
    say(answer.held.length === 0 && left.size === 0 ? `${some} The service has it.` : `${some} Not everything: what was not entered stands below and stays in its boxes.`);
    showPhotographs();
  };

  const over = () => {
    pending = null;
    keepPending();
    wait = FIRST_WAIT;
    byId("send-form").disabled = false;
  };
  const later = (words) => {
    say(`${words} What you typed is kept here, and is sent by itself when the signal is back. Leave this page open.`);
    window.clearTimeout(timer);
    timer = window.setTimeout(attempt, wait);
    wait = Math.min(wait * 2, LONGEST_WAIT);
  };
  const attempt = async () => {
    window.clearTimeout(timer);
    if (busy || pending === null) return;
    busy = true;
    say("Sending…");
    let response = null;
    let answer = null;
    const givenUp = new AbortController();
    const patience = window.setTimeout(() => givenUp.abort(), LONGEST_ANSWER);
    try {
      response = await window.fetch(told.send, {
        signal: givenUp.signal,
        method: "POST", body: copyText(pending.name, pending.entries, pending.photographs), redirect: "error",
        headers: { "Content-Type": "application/octet-stream", "Idempotency-Key": pending.name },
      });
      answer = await response.json();
    } catch (_) { /* no answer, or half of one */ }
    window.clearTimeout(patience);
    busy = false;
    if (response === null || response.status >= 500 || [408, 412, 429].includes(response.status)) {
      later(response === null ? "No signal." : "The service can't take it just now.");
      return;
    }
    if (answer === null && response.ok) { later("The answer was cut off."); return; }
    clearWords();
    if (response.ok) {
      taken(answer);
      over();
      return;
    }
    if (response.status === 401 || response.status === 403) say("The service does not know you any more. Log in in another window, come back here, and press Send. What you typed is kept here.");
    else if (response.status === 413) say("This is more than the service takes at once. Take photographs out, send, and add them again. What you typed is kept here.");
    else say(`Nothing was entered: ${answer === null ? "the service refused it" : answer.detail}. What you typed is kept here.`);
    if (answer !== null && answer.problems) refuse(answer.problems);
    over();
  };
  const press = () => {
    if (pending === null) {
      const some = told.sheets.some((sheet) => [...sheet.boxes, ...sheet.ticks].some((one) => answers.entries[one.id]));
      if (!some && answers.photographs.length === 0) { say("Nothing is filled in yet."); return; }
      pending = { name: draw(), entries: { ...answers.entries }, photographs: [...answers.photographs] };
      keepPending();
    }
    wait = FIRST_WAIT;
    attempt();
  };
  byId("send-form").addEventListener("click", press);
  window.addEventListener("online", () => { wait = FIRST_WAIT; attempt(); });
  document.addEventListener("visibilitychange", () => { if (!document.hidden) attempt(); });
  window.addEventListener("beforeunload", (event) => { if (pending !== null && pending.photographs.length > 0 && !album.kept) event.preventDefault(); });
  const begin = async () => {
    pictures = await openPictures();
    if (pictures !== null) {
      const kept = await inPictures("readonly", (shelf) => shelf.get(prefix)).catch(() => undefined);
      if (kept !== undefined) answers.photographs.unshift(...kept.filter((one) => !answers.photographs.some((other) => isSame(one, other))));
      album.keep = keepPictures;
      album.kept = true;
      byId("keeps").textContent = "This browser keeps what you type and photograph until the service has it.";
      showPhotographs();
    }
    pending = await readPending();
    attempt();
  };
  begin();
};
