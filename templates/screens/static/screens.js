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
  const form = new FormData();
  form.set("form_key", field.form.elements.form_key.value);
  form.set("lines", field.value);
  bring(field, field.dataset.preview, { method: "POST", body: form });
}

for (const field of document.querySelectorAll("[data-preview]")) {
  field.addEventListener("input", () => {
    field.rows = Math.max(1, field.value.split("\n").length);
    soon(field, () => preview(field));
  });
  if (field.value.trim()) preview(field);
}

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
