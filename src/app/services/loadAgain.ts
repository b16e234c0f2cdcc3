/** Loads the page again as soon as nobody loses anything by it. `wait`: ms until it is looked at once more. */
export function loadAgain(may: () => boolean, reload = () => location.reload(), wait = 5_000): void {
  if (may()) reload();
  else setTimeout(() => loadAgain(may, reload, wait), wait);
}
