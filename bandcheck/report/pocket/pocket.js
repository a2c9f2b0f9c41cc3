"use strict";
// Shows verdicts that stand in the page; computes none and guesses none between them.
(() => {
  const held = JSON.parse(document.getElementById("held").textContent);
  const find = (name) => document.getElementById(name);
  const dial = find("dial");
  let rate = held.rates[0];

  const plain = (typed) => {
    const text = typed.trim().replace(",", ".").replace(/[°\s]|s$/g, "");
    return /^\d+\.\d+$/.test(text) ? text.replace(/0+$/, "").replace(/\.$/, "") : text;
  };
  const place = () => {
    const wanted = plain(dial.value);
    return rate.settings.findIndex((each) => each.names.includes(wanted));
  };
  const put = (name, text) => { find(name).textContent = text; };

  const show = () => {
    const found = rate.settings[place()];
    const level = found ? found.level : "unknown";
    find("verdict").className = "verdict " + level;
    put("word", level.toUpperCase());
    put("mark", held.marks[level]);
    put("why", found ? found.why : "not computed for this card");
    const told = found && found.told ? found.told : {};
    for (const name of ["room", "phase", "lowest", "roll"]) {
      put(name, told[name] || "unknown");
    }
  };

  const offer = () => {
    const buttons = rate.offered.map((name) => {
      const button = document.createElement("button");
      button.type = "button";
      button.textContent = name + (name.includes("/") ? " s" : "°");
      button.addEventListener("click", () => { dial.value = name; show(); });
      return button;
    });
    find("offered").replaceChildren(...buttons);
    find("none").hidden = buttons.length > 0;
    put("none", rate.refused ? "cannot be run: " + rate.refused : "nothing safe was found");
  };

  const size = (text) => {
    const parts = text.split("/").map(Number);
    return parts.length === 2 ? 360 * rate.fps * parts[0] / parts[1] : parts[0];
  };
  const step = (by) => {
    const here = place();
    let next = here + by;
    if (here < 0) { // from what was not computed to what was, next to it
      const angle = size(plain(dial.value));
      const above = rate.settings.findIndex((each) => each.angle > angle);
      const upper = above < 0 ? rate.settings.length : above;
      next = by > 0 ? upper : upper - 1;
    }
    const found = rate.settings[Math.max(0, Math.min(rate.settings.length - 1, next))];
    if (found) { dial.value = found.names[0]; }
    show();
  };

  const choose = (index) => {
    rate = held.rates[index];
    dial.value = rate.first;
    offer();
    show();
  };

  document.querySelectorAll("input[name=rate]").forEach((each) => {
    each.addEventListener("change", () => choose(Number(each.value)));
  });
  find("less").addEventListener("click", () => step(-1));
  find("more").addEventListener("click", () => step(1));
  dial.addEventListener("input", show);
  dial.addEventListener("keydown", (event) => {
    if (event.key === "ArrowUp" || event.key === "ArrowDown") {
      event.preventDefault();
      step(event.key === "ArrowUp" ? 1 : -1);
    }
  });
  const chosen = document.querySelector("input[name=rate]:checked");
  choose(chosen ? Number(chosen.value) : 0);
})();
