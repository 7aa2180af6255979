/**
 * The next free id with a prefix: "L13" after "L12". One more than the largest number in use, so the same list gives
 * the same id and nothing is random; ids of another form are passed over.
 */
export function nextId(prefix: string, list: readonly { readonly id: string }[]): string {
  let largest = 0;
  for (const { id } of list) {
    const number = id.startsWith(prefix) ? id.slice(prefix.length) : '';
    if (/^\d{1,9}$/.test(number)) largest = Math.max(largest, Number(number));
  }
  return `${prefix}${largest + 1}`;
}
