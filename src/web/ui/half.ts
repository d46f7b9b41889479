// Taps that were not sent yet, kept on the phone so that a page which is closed and opened again still has them. They lie under the ballot's own link and
// tray, so whoever opens another ballot on the same phone never sees them, and are dropped when the answer is sent.

const shelf = (form: HTMLFormElement) => "oddplate half " + new URL(form.action).pathname;
const boxes = (form: HTMLFormElement) => form.querySelectorAll<HTMLInputElement>("input[name]");

export function keep_half(form: HTMLFormElement): void {
  const fields = new URLSearchParams();
  for (const box of boxes(form))
    if (box.type === "radio" || box.type === "checkbox" ? box.checked : box.value) fields.append(box.name, box.value);
  try {
    if (fields.toString()) localStorage.setItem(shelf(form), fields.toString());
    else drop_half(form);
  } catch {
    return;   // a phone that keeps nothing begins anew, as it did before
  }
}

function kept_half(form: HTMLFormElement): string | null {
  try {
    return localStorage.getItem(shelf(form));
  } catch {
    return null;   // a phone that lets nobody look keeps nothing either
  }
}

export function bring_back(form: HTMLFormElement): void {
  const text = kept_half(form);
  if (text === null) return;
  const fields = new URLSearchParams(text);
  for (const box of boxes(form))
    if (box.type === "radio" || box.type === "checkbox") box.checked = fields.getAll(box.name).includes(box.value);
    else box.value = fields.get(box.name) ?? "";
}

export function drop_half(form: HTMLFormElement): void {
  localStorage.removeItem(shelf(form));
}
