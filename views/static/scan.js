// A scanner is a keyboard that types fast and ends with Enter. Where a text field has the cursor, what it types stands there
// as from any keyboard; everywhere else the page hears it. Each scan becomes an event "scan" on the document, with the text and
// the field. Whoever takes it calls preventDefault: the Enter then does nothing, and the field gets back what it had before.
// In a form marked data-scanner the Enter of a scan that nobody takes goes on to the next field instead of sending the form.

const pause = 100; // ms without a key end a scan
const pace = 50; // ms a key on average: slower is a hand
const shortest = 4; // signs; less is no label
const along = ["Shift", "Control", "Alt", "AltGraph", "CapsLock", "Unidentified"]; // keys that come along with the signs
const separator = "\x1d"; // FNC1, which scanners type as itself, as Ctrl and ], or as Alt and its number
const numberOfSeparator = /^0*29$/;
const textBox = "textarea, input:not([type]), input:is([type=text], [type=search], [type=password], [type=email], [type=tel], [type=url], [type=number])";

let keys = "", number = "", first = 0, last = 0;
let before = null; // the field that the first key went to, with what it had

function isTextField(element) {
  return element instanceof HTMLElement && (element.isContentEditable || element.matches(textBox));
}

// sign is what a key types; "" is a key of another kind.
function sign(event) {
  if (event.ctrlKey && !event.getModifierState("AltGraph")) return event.key === "]" ? separator : "";
  return event.key.length === 1 ? event.key : "";
}

function isScan(now) {
  return keys.length >= shortest && now - last <= pause && (last - first) / (keys.length - 1) <= pace;
}

// hear adds a sign to the scan, or begins another one with it.
function hear(typed, event) {
  if (event.timeStamp - last > pause) keys = "";
  if (keys === "") {
    first = event.timeStamp;
    before = "value" in event.target ? { field: event.target, value: event.target.value } : null;
  }
  keys += typed;
  last = event.timeStamp;
}

// separatorInto puts FNC1 into a text field, where no browser would.
function separatorInto(field) {
  if (typeof field.selectionStart !== "number") return;
  field.setRangeText(separator, field.selectionStart, field.selectionEnd, "end");
}

function takeBack() {
  if (!before || before.field.value === before.value) return;
  before.field.value = before.value;
  before.field.dispatchEvent(new Event("input", { bubbles: true }));
}

function goOn(field) {
  const all = [...field.form.elements].filter((element) => element.type !== "hidden" && !element.disabled && element.offsetParent);
  all[all.indexOf(field) + 1]?.focus();
}

function onEnter(event) {
  const text = isScan(event.timeStamp) ? keys : "";
  keys = "";
  if (!text) return;
  const field = isTextField(event.target) ? event.target : null;
  if (!document.dispatchEvent(new CustomEvent("scan", { cancelable: true, detail: { text, field } }))) {
    event.preventDefault();
    takeBack();
  } else if (field?.form?.hasAttribute("data-scanner")) {
    event.preventDefault();
    goOn(field);
  }
}

document.addEventListener("keydown", (event) => {
  if (event.key === "Enter") return onEnter(event);
  if (event.altKey && !event.getModifierState("AltGraph")) {
    if (/^\d$/.test(event.key)) number += event.key;
    if (keys) last = event.timeStamp;
    return;
  }
  const typed = event.metaKey || event.isComposing || event.repeat ? "" : sign(event);
  if (!typed) {
    if (!along.includes(event.key)) keys = ""; // Tab: what was typed into the field before is no scan; nor is a key held down
    return;
  }
  hear(typed, event);
  if (isTextField(event.target)) {
    if (typed !== separator) return;
    event.preventDefault();
    separatorInto(event.target);
  } else if (keys.length > 1 && !event.target.matches("select, input")) {
    event.preventDefault(); // a space inside a scan presses no button, a slash opens no search
  }
});

// The number of a sign, typed with Alt held, stands for the sign once Alt is let go.
document.addEventListener("keyup", (event) => {
  if (event.key !== "Alt") return;
  if (numberOfSeparator.test(number)) {
    hear(separator, event);
    if (isTextField(event.target)) separatorInto(event.target);
  }
  number = "";
});
