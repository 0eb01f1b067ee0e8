// Enhances pages that work without it: looks ahead while somebody types, and sends at Enter.
"use strict";

const WAIT = 60; // [ms] between two keys, before the server is asked
const running = new WeakMap();

/** Put a part of a page that the server made into its place; what is out of date is dropped. */
async function bring(field, address, options) {
  const into = document.getElementById(field.dataset.into);
  running.get(field)?.abort();
  const stop = new AbortController();
  running.set(field, stop);
  try {
    const answer = await fetch(address, {
      ...options,
      signal: stop.signal,
      headers: { "x-part": "1" },
      credentials: "same-origin",
    });
    into.innerHTML = await answer.text();
    into.classList.remove("stale");
  } catch (error) {
    if (error.name !== "AbortError") into.classList.add("stale");
  }
}

function soon(field, deed) {
  clearTimeout(field.waits);
  field.waits = setTimeout(deed, WAIT);
}

function preview(field) {
  const form = new FormData(field.form ?? field);
  bring(field, field.dataset.preview, { method: "POST", body: form });
}

// A field of lines, or a whole form: what it would come to stands below before it is sent.
for (const field of document.querySelectorAll("[data-preview]")) {
  field.addEventListener("input", () => {
    if ("rows" in field) field.rows = Math.max(1, field.value.split("\n").length);
    soon(field, () => preview(field));
  });
  // A fault of it that the page tells already is told once.
  if (field.value?.trim() && !("told" in field.dataset)) preview(field);
}

// A page that is entered at the line has its focus there, which an address with a place takes away.
addEventListener("load", () => {
  if (location.hash === "#entry") document.getElementById("lines")?.focus({ preventScroll: true });
});

for (const field of document.querySelectorAll("[data-enter]")) {
  field.addEventListener("keydown", (key) => {
    if (key.key !== "Enter" || key.shiftKey || key.isComposing) return;
    key.preventDefault();
    if (field.value.trim()) field.form.requestSubmit();
  });
}

for (const field of document.querySelectorAll("[data-part]")) {
  field.addEventListener("input", () =>
    soon(field, () => bring(field, `${field.dataset.part}?text=${encodeURIComponent(field.value)}`, {})),
  );
}

// The cart: the field is always ready; scans that cannot be sent are kept, and each is sent once.
const cart = document.querySelector("[data-cart]");
if (cart) {
  const waiting = [];
  let sending = false;
  let tones;
  let toldWhy = "";
  let away = false;
  // Of scans that were kept: how many were judged, and which were refused, until that was seen.
  let judged = 0;
  const refusals = [];

  const tone = (frequency, length, at) => {
    const source = tones.createOscillator();
    source.frequency.value = frequency;
    source.connect(tones.destination);
    source.start(tones.currentTime + at);
    source.stop(tones.currentTime + at + length);
  };
  const sound = (answer) => {
    try {
      tones ??= new AudioContext();
      if (answer === "right") tone(880, 0.09, 0);
      if (answer === "wrong") [0, 0.2].forEach((at) => tone(180, 0.16, at));
    } catch {
      // A browser without sound: the answer is said in words all the same.
    }
  };
  const ready = () => document.getElementById("scan")?.focus();
  const codeOf = (sent) => sent.code || "–";
  /** While the network is away, what is kept takes the place of the last answer. */
  const tell = () => {
    const place = document.getElementById("kept");
    const shown = away && waiting.length > 0;
    place.hidden = !shown;
    cart.classList.toggle("away", shown);
    if (!shown) return;
    place.querySelector(".verdict span").textContent = place.dataset.words.replace("{code}", () => codeOf(waiting.at(-1)));
    const pending = document.getElementById("pending");
    pending.textContent = `${pending.dataset.words.replace("{count}", waiting.length)} ${toldWhy}`;
  };
  /** What was refused of all that was kept; it stays until somebody has seen it. */
  const tellRefused = () => {
    const place = document.getElementById("refused");
    place.hidden = refusals.length === 0;
    const words = place.dataset.words.replace("{count}", refusals.length).replace("{all}", judged);
    place.querySelector(".verdict span").textContent = words;
    place.querySelector("ul").replaceChildren(
      ...refusals.map(({ code, why }) => {
        const line = document.createElement("li");
        const name = document.createElement("b");
        name.textContent = code;
        line.append(name, ` – ${why}`);
        return line;
      }),
    );
  };
  document.querySelector("#refused button").addEventListener("click", () => {
    refusals.length = judged = 0;
    tellRefused();
    ready();
  });
  const newId = () =>
    Array.from(crypto.getRandomValues(new Uint8Array(16)), (byte) => byte.toString(16).padStart(2, "0")).join("");

  /** Whoever signed in again has another key for the forms of this page. */
  async function newKey(address) {
    const answer = await fetch(address, { headers: { "x-part": "1" }, credentials: "same-origin" });
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    const key = page.querySelector("[data-scan] [name=form_key]")?.value;
    if (!key) return;
    for (const { form } of waiting) form.set("form_key", key);
    for (const field of cart.querySelectorAll("[name=form_key]")) field.value = key;
  }

  async function send() {
    if (sending) return;
    sending = true;
    while (waiting.length) {
      const { address, form } = waiting[0];
      // The bag that is open is known once all before was answered.
      form.set("into", cart.querySelector("[data-scan] [name=into]").value);
      try {
        const answer = await fetch(address, {
          method: "POST",
          body: form,
          headers: { "x-part": "1" },
          credentials: "same-origin",
          redirect: "manual",
        });
        if (answer.type === "opaqueredirect") {
          location.reload();
          return;
        }
        // A fault of the server is no answer: the scan is kept.
        if (answer.status >= 500) throw new Error(String(answer.status));
        const text = await answer.text();
        // Neither is it when somebody must sign in again: kept until that is done elsewhere.
        if (!text.includes("data-answer")) {
          toldWhy = new DOMParser().parseFromString(text, "text/html").body.textContent.trim();
          await newKey(address);
          throw new Error(String(answer.status));
        }
        toldWhy = "";
        const kept = document.getElementById("scan").value;
        cart.innerHTML = text;
        const { kept: wasKept, code } = waiting.shift();
        document.getElementById("scan").value = kept;
        const answered = cart.querySelector("[data-answer]");
        sound(answered?.dataset.answer);
        away = false;
        if (wasKept) {
          judged += 1;
          const why = [...answered.querySelectorAll(".verdict")].map((line) => [...line.childNodes].slice(1).map((node) => node.textContent).join("").trim());
          if (answered.dataset.answer === "wrong") refusals.push({ code, why: why.join(" ") });
        }
        ready();
      } catch {
        away = true;
        for (const sent of waiting) sent.kept = true;
        tell();
        await new Promise((done) => setTimeout(done, 1500));
      }
      tell();
    }
    sending = false;
    if (!refusals.length) judged = 0;
    tellRefused();
  }

  cart.addEventListener("submit", (event) => {
    const sent = event.target;
    const deed = event.submitter?.name === "deed" ? event.submitter.value : "";
    // Labels are asked for beside the scans.
    if (deed === "end" || sent.method === "get") return;
    event.preventDefault();
    const form = new FormData(sent);
    if (event.submitter?.name) form.set(event.submitter.name, event.submitter.value);
    let code = event.submitter?.textContent.trim();
    if (sent.matches("[data-scan]")) {
      code = form.get("scan").trim();
      if (!form.get("scan").trim()) return;
      form.set("scan_id", newId());
      document.getElementById("scan").value = "";
    }
    waiting.push({ address: sent.action, form, code, kept: away });
    tell();
    send();
    ready();
  });
  addEventListener("online", send);
  addEventListener("beforeunload", (event) => waiting.length && event.preventDefault());
  document.addEventListener("click", (event) => {
    if (!event.target.closest("a, button, input, textarea, select")) ready();
  });
  ready();
}

// At the door and at receiving a scan is sent only where the server answers: else it stays in its
// field, and the page it stands on is not left for one that says nothing of it.
for (const form of document.querySelectorAll("[data-probe]")) {
  let there = false;
  form.addEventListener("submit", async (event) => {
    if (there) return;
    event.preventDefault();
    const field = form.querySelector("[name=scan]");
    const by = event.submitter;
    form.parentElement.querySelector(".lost")?.remove();
    try {
      const answer = await fetch("/health", { cache: "no-store" });
      if (!answer.ok) throw new Error(String(answer.status));
      there = true;
      form.requestSubmit(by);
      // Whoever comes back by the browser's button sends anew.
      there = false;
    } catch {
      const told = document.createElement("div");
      told.className = "answer wrong lost";
      told.setAttribute("role", "alert");
      const line = document.createElement("p");
      line.className = "verdict";
      line.textContent = form.dataset.probe.replace("{code}", () => field.value.trim() || by?.textContent.trim() || "");
      told.append(line);
      form.before(told);
      field.focus();
      field.select();
    }
  });
}

// A table that is wider than its place says so.
function tellCut() {
  for (const place of document.querySelectorAll(".wide")) {
    const cut = place.scrollWidth > place.clientWidth + 1;
    if (cut) place.dataset.cut = document.querySelector("main")?.dataset.cut ?? "→";
    else delete place.dataset.cut;
  }
}
addEventListener("load", tellCut);
addEventListener("resize", tellCut);

// Papers under way: looked at again until all are made, or one that is waited for stands there.
for (const place of document.querySelectorAll("[data-poll]")) {
  const look = async () => {
    try {
      const answer = await fetch(place.dataset.poll, { headers: { "x-part": "1" }, credentials: "same-origin" });
      if (answer.ok) place.innerHTML = await answer.text();
    } catch {
      // The server is away: asked again.
    }
    if (place.querySelector("[data-goes]")) setTimeout(look, 1000);
    else if (place.dataset.then) location.replace(place.dataset.then);
  };
  setTimeout(look, 500);
}

// The ways out of what stops an opening: while their box has the focus, the key of a number takes one.
function keyed(box) {
  box.querySelector(".keys").hidden = false;
  box.addEventListener("keydown", (key) => {
    if (key.target.matches("input, textarea, select") || key.ctrlKey || key.altKey || key.metaKey) return;
    const way = box.querySelector(`[data-key="${CSS.escape(key.key)}"]`);
    if (!way) return;
    key.preventDefault();
    way.form.requestSubmit(way);
  });
}
for (const box of document.querySelectorAll("[data-keys]")) {
  keyed(box);
  box.focus({ preventScroll: true });
}
