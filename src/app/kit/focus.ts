/** What has the focus, inside shadow roots too; undefined when nothing has. */
export function focused(): HTMLElement | undefined {
  let at = document.activeElement;
  while (at?.shadowRoot?.activeElement) at = at.shadowRoot.activeElement;
  return at instanceof HTMLElement && at !== document.body ? at : undefined;
}

/** The arrow keys up and down go round a list of things to press, from the one that has the focus. */
export function walkByArrows(event: KeyboardEvent, items: readonly HTMLElement[]): void {
  const step = event.key === 'ArrowDown' ? 1 : event.key === 'ArrowUp' ? -1 : 0;
  const here = focused();
  const now = here ? items.indexOf(here) : -1;
  if (step === 0 || now < 0) return;
  event.preventDefault();
  event.stopPropagation();
  items[(now + step + items.length) % items.length]?.focus();
}
