// Adds to goods in: a GS1 label fills the form, whatever has the cursor, and the button says how many are received.

import { findings, say } from "./notice.js";

const order = document.querySelector("#order, #what"); // the form itself, or the question before it
const counted = document.querySelector('#order input[name="counted"]');
const button = document.querySelector("[data-receive] button");

// How a label that says so itself begins: a symbology, FNC1, brackets, an address, or an item number; or FNC1 is in it.
const marked = /^(\]|\^|\(\d{2,4}\)|https?:\/\/|01\d{14})|\x1d/i;

// What of a label goes into which field.
const parts = { supplier: "supplier", lot: "lot", label_expires_on: "expires_on", filled_on: "produced_on" };

document.addEventListener("scan", (event) => {
  const { text, field } = event.detail;
  if (field?.form !== order || !marked.test(text)) return;
  event.preventDefault();
  document.dispatchEvent(new CustomEvent("scan", { cancelable: true, detail: { text, field: null } }));
});

document.addEventListener("scanned", (event) => {
  if (!event.detail.gs1) return;
  event.preventDefault();
  take(event.detail);
});

function take(found) {
  const label = found.gs1;
  const told = findings(label);
  if (label.findings.some((finding) => finding.severity !== "note")) {
    say(["Nothing is filled in.", ...told], found.choices.map((one) => ({ words: one.words, act: () => scan(one.code) })));
  } else if (found.kind === "cylinder") {
    say([`${found.words} is here already; nothing is filled in.`], [{ words: `Go to ${found.words}`, url: found.url }]);
  } else if (order.id !== "order") {
    location.assign(address(label));
  } else if (differs(box("item"), label.item_code)) {
    say([`The label is of item ${label.item_code}, and this form is for ${box("item").value}; nothing is filled in.`], [{ words: `Receive ${label.item_code}`, url: address(label) }]);
  } else if (differs(box("lot"), label.lot)) {
    say([`The label is of lot ${label.lot}, and this form is for ${box("lot").value}; nothing is filled in.`, "Receive each lot by itself."]);
  } else {
    say([`Read: ${label.words}. Compare it with the print.`, ...fill(label), ...told]);
  }
}

function scan(text) {
  document.dispatchEvent(new CustomEvent("scan", { cancelable: true, detail: { text, field: null } }));
}

// address is goods in with what the label says, and with what the question before it knows.
function address(label) {
  const known = order.id === "order" ? [] : new FormData(order);
  const read = [["item", label.item_code], ["gtin", label.item_code ? "" : label.item], ["serials", label.serial]];
  for (const [name, part] of Object.entries(parts)) read.push([name, label[part]]);
  const all = [...known, ...read].filter(([, value]) => value);
  return "/receipts/new?" + new URLSearchParams(Object.fromEntries(all));
}

function box(name) {
  return order.elements.namedItem(name);
}

function differs(field, text) {
  const has = field?.value.trim();
  return Boolean(has && text) && has.toUpperCase() !== text.toUpperCase();
}

// fill writes into the fields that are empty, and gives a line for each that somebody filled in otherwise.
function fill(label) {
  const odd = [];
  for (const [name, part] of Object.entries(parts)) {
    const field = box(name), value = label[part];
    if (differs(field, value)) odd.push(`${field.labels[0].textContent.trim()} is ${field.value} here, and ${value} on the label: compare both.`);
    else if (field && value) set(field, value);
  }
  const serials = box("serials");
  if (!serials || !label.serial) return odd;
  const list = serials.value.split(/[\n,]/).map((line) => line.trim()).filter(Boolean);
  if (list.some((line) => line.toUpperCase() === label.serial.toUpperCase())) odd.push(`Serial ${label.serial} is on the list already.`);
  else set(serials, [...list, label.serial].join("\n"));
  return odd;
}

function set(field, value) {
  field.value = value;
  field.dispatchEvent(new Event("input", { bubbles: true }));
}

function count() {
  const number = counted.value.trim();
  button.textContent = /^\d+$/.test(number) ? `Receive ${number}` : "Receive";
}

if (counted && button) {
  counted.addEventListener("input", count);
  count();
}
