/** Spaces alone pass for filled in with the browser, and never reached us: said at the field that has them. */
export function saidBlank(form: HTMLFormElement, name: string, words: string): boolean {
  const field = form.elements.namedItem(name);
  if (!(field instanceof HTMLInputElement || field instanceof HTMLTextAreaElement)) return false;
  if (field.value.trim() !== "") return false;
  field.setCustomValidity(words);
  field.reportValidity();
  return true;
}
