/** Date and time of the place where the program runs, as it stands on a page: `2026-04-02 14:41`. */
export function clockText(at: Date): string {
  const two = (n: number): string => String(n).padStart(2, '0');
  return `${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())} ${two(at.getHours())}:${two(at.getMinutes())}`;
}
