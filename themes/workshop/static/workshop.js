// Ticks stay on this device, and the edition switch keeps the reader's place. Pages work without this.
(() => {
  "use strict";

  const store = {
    get(key) { try { return localStorage.getItem(key); } catch { return null; } },
    set(key, value) { try { localStorage.setItem(key, value); } catch { /* private window */ } },
  };

  const piece = document.body.dataset.piece;
  const boxes = [...document.querySelectorAll("input[data-tick]")];
  if (piece && boxes.length) {
    const key = `planbook ticks ${piece}`;
    let ticked;
    try { ticked = new Set(JSON.parse(store.get(key) || "[]")); } catch { ticked = new Set(); }
    for (const box of boxes) {
      box.checked = ticked.has(box.dataset.tick);
      box.addEventListener("change", () => {
        if (box.checked) ticked.add(box.dataset.tick); else ticked.delete(box.dataset.tick);
        store.set(key, JSON.stringify([...ticked]));
      });
    }
    for (const note of document.querySelectorAll(".with-script")) note.hidden = false;
  }

  const places = [...document.querySelectorAll("main section[id], main nav[id]")];
  const here = () => {
    const above = places.filter((place) => place.getBoundingClientRect().top < innerHeight / 3);
    return scrollY > 40 && above.length ? `#${above[above.length - 1].id}` : "";
  };
  for (const link of document.querySelectorAll(".switch a[data-edition]")) {
    const plain = link.getAttribute("href").split("#")[0];
    link.addEventListener("pointerdown", () => link.setAttribute("href", plain + here()));
    link.addEventListener("keydown", () => link.setAttribute("href", plain + here()));
    link.addEventListener("click", () => store.set("planbook edition", link.dataset.edition));
  }

  // Pages without an edition lead home in the edition last chosen.
  const chosen = store.get("planbook edition");
  if (chosen && document.body.classList.contains("both")) {
    for (const link of document.querySelectorAll(`a[data-${CSS.escape(chosen)}]`)) {
      link.setAttribute("href", link.getAttribute(`data-${chosen}`));
    }
  }
})();
