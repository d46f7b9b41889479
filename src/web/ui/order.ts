// Codes tapped in order, first one first; a second tap takes one out again and those behind it move up. The page folds trays away and puts fresh ones in
// its place, so one listener hears them all.

export function tap_in_order(): void {
  document.addEventListener("click", event => {
    const tapped = (event.target as HTMLElement).closest<HTMLLabelElement>("[data-order] label");
    if (!tapped) return;
    event.preventDefault();
    put(tapped);
  });
  document.addEventListener("keydown", event => {
    const at = (event.target as HTMLElement).closest<HTMLLabelElement>("[data-order] label");
    if (!at || (event.key !== "Enter" && event.key !== " ")) return;
    event.preventDefault();
    put(at);
  });
}

function put(tapped: HTMLLabelElement): void {
  const boxes = [...(tapped.closest("[data-order]") as HTMLElement).querySelectorAll<HTMLInputElement>("input")];
  const mine = tapped.querySelector("input") as HTMLInputElement;
  const was = Number(mine.value);
  if (was) {
    mine.value = "";
    for (const box of boxes) if (Number(box.value) > was) box.value = String(Number(box.value) - 1);
  } else {
    mine.value = String(1 + boxes.filter(box => box.value).length);
  }
  mine.focus();
  mine.dispatchEvent(new Event("input", { bubbles: true }));
}
