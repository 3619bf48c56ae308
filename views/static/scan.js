// A scanner is a keyboard that types fast and ends with Enter. Where no field has the focus, its text goes into the page's
// own empty scan field ([data-scan]; with data-scan="submit" the form is sent) or else to /scan. Typing in a field is left
// alone; only in a form marked data-scanner does the Enter of a scanner go on to the next field instead of sending the form.

const pause = 100; // ms without a key end a scan
const pace = 50; // ms a key on average: slower is a hand
const shortest = 4; // signs; less is no label
const along = ["Shift", "Control", "AltGraph", "CapsLock"]; // keys that come along with the signs
const separator = "\x1d"; // FNC1, which scanners type as Ctrl and ]

let keys = "", first = 0, last = 0;

function sign(event) {
  if (event.ctrlKey) return event.key === "]" ? separator : "";
  return event.key.length === 1 ? event.key : "";
}

function isScan(now) {
  return keys.length >= shortest && now - last <= pause && (last - first) / (keys.length - 1) <= pace;
}

function isField(element) {
  return element instanceof HTMLElement && (element.isContentEditable || element.matches("textarea, select, input:not([type=checkbox], [type=radio])"));
}

function goOn(field) {
  const all = [...field.form.elements].filter((element) => element.type !== "hidden" && !element.disabled && element.offsetParent);
  all[all.indexOf(field) + 1]?.focus();
}

function take(text) {
  const field = [...document.querySelectorAll("[data-scan]")].find((one) => one.value === "" && !one.disabled);
  if (!field) {
    location.assign("/scan?text=" + encodeURIComponent(text));
    return;
  }
  field.value = text;
  field.dispatchEvent(new Event("input", { bubbles: true }));
  field.dispatchEvent(new Event("change", { bubbles: true }));
  if (field.dataset.scan === "submit") field.form.requestSubmit();
}

function onEnter(event) {
  const scanned = isScan(event.timeStamp) ? keys : "";
  keys = "";
  if (!scanned) return;
  if (!isField(event.target)) {
    event.preventDefault();
    take(scanned);
  } else if (event.target.form?.hasAttribute("data-scanner")) {
    event.preventDefault();
    goOn(event.target);
  }
}

document.addEventListener("keydown", (event) => {
  if (event.key === "Enter") return onEnter(event);
  if (event.altKey || event.metaKey || event.isComposing) {
    keys = "";
    return;
  }
  const typed = sign(event);
  if (!typed) {
    if (!along.includes(event.key)) keys = ""; // Tab: what was typed into the field before is no scan
    return;
  }
  const now = event.timeStamp;
  if (now - last > pause) keys = "";
  if (keys === "") first = now;
  keys += typed;
  last = now;
  if (!isField(event.target)) {
    if (keys.length > 1) event.preventDefault(); // a space inside a scan presses no button, a slash opens no search
  } else if (typed === separator && event.target.matches("input")) {
    event.preventDefault();
    event.target.setRangeText(separator, event.target.selectionStart, event.target.selectionEnd, "end");
  }
});
