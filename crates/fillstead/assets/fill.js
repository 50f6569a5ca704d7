// Puts a button for less and one for more beside each list of pressures marked data-step.
"use strict";
for (const list of document.querySelectorAll("select[data-step]")) {
  const down = list.id === "k-to" ? 1 : -1;
  const button = (sign, words, by) => {
    const b = document.createElement("button");
    b.type = "button";
    b.className = "btn";
    b.textContent = sign;
    b.setAttribute("aria-label", words);
    b.addEventListener("click", () => {
      const to = list.selectedIndex + by;
      if (to >= 0 && to < list.options.length) {
        list.selectedIndex = to;
        list.dispatchEvent(new Event("change", { bubbles: true }));
      }
    });
    return b;
  };
  const name = list.labels[0] ? list.labels[0].textContent : "pressure";
  list.before(button("−", name + ": less", down));
  list.after(button("+", name + ": more", -down));
}
