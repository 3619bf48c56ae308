// What becomes of a scan that no text field got. A page without fields of its own for it goes to /scan, which knows where to
// go. Fields that take scans name the kinds of /api/v1/scan that they take (data-scan="lot text"): the scan is looked up and
// fills the one that it is for, and the page stays. With data-scan-submit the form is sent then. A module of the page may take
// what was found before, by the event "scanned".

import { findings, say } from "./notice.js";

const fields = () => [...document.querySelectorAll("[data-scan]")].filter((field) => !field.disabled);

let reading = Promise.resolve(); // scans are read one after the other

document.addEventListener("scan", (event) => {
  const { text, field } = event.detail;
  if (field) return;
  event.preventDefault();
  if (fields().length === 0) location.assign("/scan?text=" + encodeURIComponent(text));
  else reading = reading.then(() => read(text));
});

async function read(text) {
  const reply = await fetch("/api/v1/scan?text=" + encodeURIComponent(text)).catch(() => null);
  if (!reply?.ok) return say([`${text} could not be looked up. Scan it again; what is typed here stays.`]);
  const found = await reply.json();
  if (document.dispatchEvent(new CustomEvent("scanned", { cancelable: true, detail: found }))) place(found);
}

// place fills what was found into the field that it is for. Of several things that it may be, the page's fields must take one alone.
function place(found) {
  const meant = (found.choices.length ? found.choices : [found]).map((one) => ({ ...one, field: fieldFor(one.kind) })).filter((one) => one.field);
  if (meant.length === 1) fill(meant[0].field, meant[0]);
  else lead(found);
}

function fieldFor(kind) {
  return fields().find((field) => field.dataset.scan.split(" ").includes(kind) && isFree(field));
}

// isFree tells whether a field may be written: what somebody typed into it is not overwritten.
function isFree(field) {
  return !field.matches("input") || field.value === "" || "scanSubmit" in field.dataset;
}

function fill(field, { code, words }) {
  const list = field.closest("details:not([open])");
  if (field.matches("select") && ![...field.options].some((option) => option.value === code)) return say([`${words}: it is not among what can be chosen here.`]);
  if (field.matches("textarea")) addLine(field, code);
  else field.value = code;
  if (list) list.open = true;
  field.dispatchEvent(new Event("input", { bubbles: true }));
  field.dispatchEvent(new Event("change", { bubbles: true }));
  if ("scanSubmit" in field.dataset) field.form.requestSubmit();
  else say([`${field.labels[0]?.textContent.trim()}: ${code}`]);
}

// addLine writes a text on a line of its own, once.
function addLine(field, text) {
  const lines = field.value.split("\n").filter(Boolean);
  if (!lines.includes(text)) field.value = [...lines, text].join("\n");
}

// lead offers the way to what was found; only another address of the same page is gone to at once.
function lead(found) {
  if (found.url && new URL(found.url, location).pathname === location.pathname) return location.assign(found.url);
  const ways = (found.choices.length ? found.choices : [found]).filter((one) => one.url);
  const leaving = ways.length > 0 && document.querySelector("main form[method=post]");
  say(
    [[found.text, found.words].filter(Boolean).join(": ") + ".", ...findings(found.gs1), leaving && "What is typed here is not kept when you leave."],
    ways.map((one) => ({ words: one.kind === "text" ? "Search for it" : `Go to ${one.words}`, url: one.url })),
  );
}
