// Says in the page what came of a scan, for whoever looks and for whoever listens.

const box = document.createElement("div");
box.className = "heard";
box.setAttribute("role", "status");
document.querySelector("main h1")?.after(box);

// say shows lines, and ways to go on: each has words, and a url to go to or something to do.
export function say(lines, ways = []) {
  const paragraphs = lines.filter(Boolean).map((line) => {
    const p = document.createElement("p");
    p.textContent = line.replaceAll("\x1d", " ");
    return p;
  });
  const buttons = ways.map(({ words, url, act }) => {
    const way = document.createElement(url ? "a" : "button");
    way.textContent = words;
    way.className = url ? "button plain" : "plain";
    if (url) way.href = url;
    else way.type = "button";
    if (act) way.addEventListener("click", act);
    return way;
  });
  box.replaceChildren(...paragraphs, ...buttons);
  box.scrollIntoView({ block: "nearest" });
}

// findings gives a line for each thing that the rules say of a label.
export function findings(label) {
  return (label?.findings ?? []).map(({ subject, text, advice }) => `${subject}: ${text} → ${advice}`);
}
