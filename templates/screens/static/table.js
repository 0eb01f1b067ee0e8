// The table of openings: cells are gone through and changed by keys; rows of a spreadsheet pasted.
// Without it each opening is opened by its mark and changed on its own page.
"use strict";

const state = document.getElementById("state");
let place = { row: 0, cell: 1 }; // where the focus is, or was
let editing = null;

const grid = () => state.querySelector("[data-grid]");
const rows = () => [...grid().querySelectorAll("tr[data-version]")];
const cellAt = (row, cell) => rows()[row]?.cells[cell];
const within = (number, count) => Math.max(0, Math.min(number, count - 1));

function go(row, cell) {
  const all = rows();
  place = { row: within(row, all.length), cell: within(cell, all[0].cells.length) };
  for (const one of grid().querySelectorAll("tr[data-version] > [tabindex='0']")) one.tabIndex = -1;
  const to = cellAt(place.row, place.cell);
  to.tabIndex = 0;
  to.focus();
}

/** The cell to the right, and from the last of a row the first of the next; false past the end. */
function goOn(step) {
  const width = rows()[0].cells.length;
  const next = place.row * width + place.cell + step;
  if (next < 0 || next >= rows().length * width) return false;
  go(Math.floor(next / width), next % width);
  return true;
}

async function look(address, options = {}) {
  return fetch(address, { headers: { "x-part": "1" }, credentials: "same-origin", redirect: "manual", ...options });
}

function put(text, focus = true) {
  const chosen = new Set([...state.querySelectorAll("[name=mark]:checked")].map((box) => box.value));
  const words = state.querySelector("[name=words]")?.value ?? "";
  state.innerHTML = text;
  editing = null;
  for (const box of state.querySelectorAll("[name=mark]")) box.checked = chosen.has(box.value);
  const field = state.querySelector("[name=words]");
  if (field) field.value = words;
  begin();
  if (focus && grid()) go(place.row, place.cell);
}

async function asItIs() {
  const answer = await look(location.pathname);
  if (answer.ok) put(await answer.text());
}

/** What a cell holds as it is typed: a mark is its link's text; words are told anew. */
function valueOf(cell) {
  if (cell.dataset.cell === "words") return "";
  return cell.dataset.value ?? (cell.querySelector("a") ?? cell).textContent.trim();
}

const addressOf = (row) => new URL(row.querySelector("th a").href).pathname;

function edit(cell, text) {
  if (editing || !cell.dataset.cell) return;
  const field = document.createElement("input");
  field.value = text ?? valueOf(cell);
  field.setAttribute("aria-label", grid().tHead.rows[0].cells[cell.cellIndex].textContent);
  field.spellcheck = false;
  if (cell.dataset.cell === "words") field.placeholder = "fire 90 exterior";
  editing = { cell, field, was: valueOf(cell), address: addressOf(cell.parentElement), before: [...cell.childNodes], saving: false };
  // What is scheduled stays in sight: words say what changes, and take nothing away.
  const kept = document.createElement("span");
  kept.className = "kept";
  if (cell.dataset.cell === "words") kept.textContent = cell.textContent.trim();
  cell.replaceChildren(...(kept.textContent ? [kept] : []), field);
  cell.classList.add("edited");
  field.focus();
  if (text === undefined) field.select();
}

function giveUp() {
  const { cell, before } = editing;
  editing = null;
  cell.classList.remove("edited");
  cell.replaceChildren(...before);
  cell.focus();
}

async function save() {
  const { cell, field } = editing;
  if (editing.saving) return false;
  const row = cell.parentElement;
  const unchanged = field.value.trim() === editing.was;
  if (unchanged) {
    giveUp();
    return true;
  }
  editing.saving = true;
  const form = new FormData();
  form.set("form_key", state.querySelector("[name=form_key]").value);
  form.set("column", cell.dataset.cell);
  form.set("value", field.value);
  form.set("version", row.dataset.version);
  form.set("alternate", row.dataset.alternate ?? "");
  const told = document.createElement("div");
  told.className = "cell-said";
  try {
    const answer = await look(`${editing.address}/cell`, { method: "POST", body: form });
    if (answer.type === "opaqueredirect") return location.reload();
    const text = await answer.text();
    if (answer.ok) {
      put(text, false);
      return true;
    }
    told.innerHTML = text;
    if (answer.status === 409) {
      const again = document.createElement("button");
      again.type = "button";
      again.textContent = grid().dataset.stale;
      again.addEventListener("click", asItIs);
      told.append(again);
    }
  } catch {
    told.textContent = grid().dataset.away;
    told.setAttribute("role", "alert");
  }
  editing.saving = false;
  cell.querySelector(".cell-said")?.remove();
  told.id = "cell-said";
  field.setAttribute("aria-invalid", "true");
  field.setAttribute("aria-describedby", told.id);
  cell.append(told);
  field.focus();
  return false;
}

async function ways(link) {
  const row = link.closest("td");
  let box = row.querySelector(".brought");
  if (!box) {
    const answer = await look(link.dataset.ways);
    if (!answer.ok) return location.assign(link.href);
    box = document.createElement("div");
    box.className = "brought";
    box.innerHTML = await answer.text();
    row.append(box);
  }
  const found = box.querySelector("[data-keys]");
  if (found) {
    keyed(found);
    found.focus();
  }
}

async function whileEditing(key) {
  if (key.key === "F2") key.preventDefault();
  else if (key.key === "Escape") {
    key.preventDefault();
    giveUp();
  } else if (key.key === "Enter" || key.key === "Tab") {
    key.preventDefault();
    const back = key.shiftKey;
    if (!(await save())) return;
    if (key.key === "Enter") go(place.row + 1, place.cell);
    else if (!goOn(back ? -1 : 1)) go(place.row, place.cell);
  }
}

const MOVES = { ArrowUp: [-1, 0], ArrowDown: [1, 0], ArrowLeft: [0, -1], ArrowRight: [0, 1] };

function whileMoving(key) {
  const cell = key.target.closest("tr[data-version] > *");
  if (!cell || key.target.matches("button") || key.ctrlKey || key.metaKey || key.altKey || key.isComposing) return;
  const row = cell.parentElement;
  const move = MOVES[key.key];
  if (move) go(place.row + move[0], place.cell + move[1]);
  else if (key.key === "Home") go(place.row, 0);
  else if (key.key === "End") go(place.row, row.cells.length - 1);
  else if (key.key === "Tab") {
    if (!goOn(key.shiftKey ? -1 : 1)) return;
  } else if (key.key === "Enter") row.querySelector("th a").click();
  else if (key.key === "F2") edit(cell);
  else if (key.key === "F4") {
    const link = row.nextElementSibling?.querySelector("[data-ways]");
    if (link) ways(link);
  } else if (key.key === " ") row.querySelector("[name=mark]")?.click();
  else if (key.key === "Escape") state.querySelector(".tools [name=words]").focus();
  else if (key.key.length === 1) edit(cell, key.key);
  else return;
  key.preventDefault();
}

function begin() {
  const table = grid();
  if (!table) return;
  table.setAttribute("role", "grid");
  state.querySelector(".keys").hidden = false;
  for (const inside of table.querySelectorAll("tr[data-version] :is(a, input)")) inside.tabIndex = -1;
  for (const cell of table.querySelectorAll("tr[data-version] > *")) cell.tabIndex = -1;
  place = { row: within(place.row, rows().length), cell: place.cell };
  cellAt(place.row, place.cell).tabIndex = 0;
}

if (grid()) {
  state.addEventListener("keydown", (key) => {
    if (editing && key.target === editing.field) whileEditing(key);
    else if (key.target.closest("[data-grid]")) whileMoving(key);
  });
  state.addEventListener("focusin", (event) => {
    const cell = event.target.closest("tr[data-version] > *");
    if (cell) place = { row: rows().indexOf(cell.parentElement), cell: cell.cellIndex };
  });
  state.addEventListener("dblclick", (event) => {
    const cell = event.target.closest("[data-cell]");
    if (cell && !event.target.closest("a")) edit(cell);
  });
  state.addEventListener("click", (event) => {
    const link = event.target.closest("[data-ways]");
    if (!link) return;
    event.preventDefault();
    ways(link);
  });
  begin();
}

// Rows of a spreadsheet come with tabs between their cells: they are looked over before they go in.
document.addEventListener("paste", (event) => {
  const text = event.clipboardData.getData("text/plain");
  const cell = event.target.closest?.("tr[data-version] > *");
  if (editing || (event.target.matches?.("input, textarea") && !event.target.matches("#lines"))) return;
  if (text.includes("\t") || (cell && text.trim().includes("\n"))) {
    event.preventDefault();
    const form = document.getElementById("paste");
    form.elements.rows.value = text;
    form.requestSubmit();
  } else if (cell?.dataset.cell) {
    event.preventDefault();
    edit(cell, text.trim());
  }
});

// A sheet may be dropped anywhere on the entry.
const drop = document.querySelector("[data-drop]");
if (drop) {
  const entry = drop.closest("section");
  entry.addEventListener("dragover", (event) => event.preventDefault());
  entry.addEventListener("drop", (event) => {
    if (!event.dataTransfer.files.length) return;
    event.preventDefault();
    drop.elements.sheet.files = event.dataTransfer.files;
    drop.requestSubmit();
  });
}

// Who comes back from an opening goes on in its row; an address with a place takes the focus away first.
addEventListener("load", () => {
  if (!location.hash.startsWith("#o-") || !grid()) return;
  const row = rows().findIndex((one) => `#${one.id}` === decodeURIComponent(location.hash));
  if (row >= 0) go(row, 1);
});
