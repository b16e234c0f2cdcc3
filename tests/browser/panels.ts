import type { Panel } from './pages/screens/misfits';

/** The panels meant. A 27-inch 16:9 panel is 598 mm x 336 mm, here upright and out at arm's length; a tablet is held. */
export const panels: Panel[] = [
  { width: 1080, height: 1920, widthMm: 336, distance: 700 },
  { width: 1280, height: 800, widthMm: 215, distance: 400 },
];
