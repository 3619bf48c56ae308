// Adds to goods in: the button says how many are received as soon as they are counted.

const counted = document.querySelector('#order input[name="counted"]');
const button = document.querySelector("[data-receive] button");

function say() {
  const number = counted.value.trim();
  button.textContent = /^\d+$/.test(number) ? `Receive ${number}` : "Receive";
}

if (counted && button) {
  counted.addEventListener("input", say);
  say();
}
