/** The smallest panel meant, on which sizes in tokens.css hold as they are: a 10-inch tablet. */
const smallest = { px: 1280, mm: 215 };

/**
 * How much larger everything must be drawn on a panel for touch targets of 18 mm and letters of 4.8 mm.
 * @param widthMm width of the panel's picture
 * @param widthPx its width in CSS pixels
 * @returns 1 where the pixels are at least as large as those of the smallest panel meant, never less
 */
export const scaleFor = (widthMm: number, widthPx: number): number =>
  Math.max(1, widthPx / widthMm / (smallest.px / smallest.mm));

/** Draws the page for a panel of this width from now on. It must be told: a page cannot measure its panel. */
export function fitScreen(widthMm: number): void {
  const draw = () => {
    document.documentElement.style.zoom = String(scaleFor(widthMm, window.innerWidth));
  };
  draw();
  window.addEventListener('resize', draw);
}
