// Adds to forms that work without it: the problem or the notice takes the focus, repeated rows can be added and removed, and a form that
// is on its way is not sent twice by a second tap. Nothing is kept here.

document.getElementById("problem")?.focus();

// What was just done is not scrolled away: the cursor goes to its box where that is in view beside the notice, else the notice has it.

const notice = document.querySelector(".notice"), box = document.querySelector("[data-cursor]");
if (notice && box) (inView(box) ? box : notice).focus({ preventScroll: true });

function inView(element) {
  const { left, top, width, height } = element.getBoundingClientRect();
  return document.elementFromPoint(left + width / 2, top + height / 2) === element;
}

// Rows. PREFIX.0.serial and f-PREFIX-0-serial are numbered by where the row stands; # is the number in the row to copy.

const numbered = ["name", "id", "for", "list", "aria-describedby"];

function renumber(container) {
  const prefix = container.dataset.rowsOf;
  const inNames = new RegExp("^(" + literal(prefix) + "\\.)(?:\\d+|#)(?=\\.|$)");
  const inIDs = new RegExp("\\b(f-" + literal(prefix.replaceAll(".", "-")) + "-)(?:\\d+|#)(?=-|$)", "g");
  container.querySelectorAll(":scope > [data-row]").forEach((row, n) => {
    for (const element of row.querySelectorAll("*")) {
      for (const attribute of numbered) {
        const value = element.getAttribute(attribute);
        if (value) element.setAttribute(attribute, value.replace(inNames, "$1" + n).replace(inIDs, "$1" + n));
      }
      if ("rowNumber" in element.dataset) element.textContent = n + 1;
    }
  });
}

function literal(text) {
  return text.replace(/[^\w-]/g, "\\$&");
}

function reveal(root) {
  for (const button of root.querySelectorAll("[data-rows], [data-remove]")) button.hidden = false;
}

function add(prefix) {
  const container = document.querySelector(`[data-rows-of="${CSS.escape(prefix)}"]`);
  const model = document.querySelector(`template[data-row-of="${CSS.escape(prefix)}"]`);
  container.append(model.content.cloneNode(true));
  const row = container.lastElementChild;
  reveal(row);
  renumber(container);
  row.querySelector("input, select, textarea")?.focus();
}

function remove(row) {
  const container = row.parentElement;
  row.remove();
  renumber(container);
  document.querySelector(`button[data-rows="${CSS.escape(container.dataset.rowsOf)}"]`)?.focus();
}

document.addEventListener("click", (event) => {
  const button = event.target.closest("button[data-rows], button[data-remove]");
  if (!button) return;
  if (button.dataset.rows) add(button.dataset.rows);
  else remove(button.closest("[data-row]"));
});

reveal(document);

// Sending. The button sleeps for a moment only: where the line broke, sending again is safe, for the form carries its key.

const sleep = 6000;

function submitters(form) {
  return [...form.elements].filter((element) => element.type === "submit");
}

function setSending(form, sending) {
  for (const button of submitters(form)) button.disabled = sending;
  form.toggleAttribute("data-sending", sending);
}

document.addEventListener("submit", (event) => {
  const form = event.target;
  if (form.method !== "post" || event.defaultPrevented) return;
  setTimeout(() => setSending(form, true)); // after the browser has taken the button's own name and value
  setTimeout(() => setSending(form, false), sleep);
});

addEventListener("pageshow", () => {
  for (const form of document.querySelectorAll("form[data-sending]")) setSending(form, false);
});
