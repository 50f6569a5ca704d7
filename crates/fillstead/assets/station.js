// The station's pages: fetches what takes long to work out once the page is there, and lets a file be
// chosen where its text can be pasted. Without this script the same is reached by links and pasting.
"use strict";
for (const part of document.querySelectorAll("[data-part]")) {
  const link = part.querySelector("[role=status] a");
  if (!link) continue;
  fetch(part.dataset.part).then((answer) => (answer.ok ? answer.text() : Promise.reject(answer.status))).then((text) => {
    const found = new DOMParser().parseFromString(text, "text/html").querySelector(".coming");
    if (found) link.parentElement.replaceWith(document.adoptNode(found));
  }).catch(() => {});
}
for (const place of document.querySelectorAll("[data-choose]")) {
  const text = place.querySelector("textarea");
  const input = document.createElement("input");
  const label = document.createElement("label");
  input.type = "file";
  input.accept = ".toml,text/plain";
  label.className = "tick";
  label.append("Or choose the file: ", input);
  input.addEventListener("change", () => {
    const file = input.files[0];
    if (file) file.text().then((read) => { text.value = read; });
  });
  place.append(label);
}
