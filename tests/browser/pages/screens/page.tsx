import { flushSync } from 'react-dom';
import { createRoot } from 'react-dom/client';
import { fill } from '../../../../machines/script';
import type { VisitView } from '../../../../machines/types';
import { usePageLanguage } from '../../../../src/app/shared/language';
import { type Light, setLight } from '../../../../src/app/shared/light';
import { fitScreen } from '../../../../src/app/shared/screen';
import { WordsOf } from '../../../../src/app/shared/words';
import '../../../../src/app/shared/tokens.css';
import { common, language, slots, steps } from './asked';
import { learnerScreens, touchedByLearner } from './learner';
import { type Measures, measure, misfits, type Panel } from './misfits';
import { staffScreens, touchedByStaff } from './staff';
import { given } from './viewed';

/*
 * ?module=...&language=...: any screen of the kiosk, alone, with the longest texts it may have to hold. The test
 * names the screen by `showScreen`; it stands when the call is over, all but its pictures.
 */

declare global {
  interface Window {
    showScreen(name: string, captions?: string[], change?: Partial<VisitView>): void;
    /** All screens for learners, and those for staff only. */
    screenNames: string[];
    staffScreens: string[];
    /** What is taught, a list a step. */
    taught: string[][];
    setLight(light: Light): void;
    fitScreen(widthMm: number): void;
    misfits(panel: Panel): string[];
    measure(panel: Panel): Measures;
  }
}

function Page({ children }: { children: React.ReactNode }) {
  usePageLanguage(language);
  return <WordsOf value={common.screens}>{children}</WordsOf>;
}

const root = createRoot(document.getElementById('root')!);
let shows = 0;
window.showScreen = (screen, said, change) => {
  Object.assign(given, { captions: said, change });
  const node = (learnerScreens[screen] ?? staffScreens[screen])!();
  // Drawn anew each time, so that nothing of the screen before stays; those of staff are English.
  flushSync(() =>
    root.render(screen in staffScreens ? <div key={++shows}>{node}</div> : <Page key={++shows}>{node}</Page>),
  );
  (touchedByLearner[screen] ?? touchedByStaff[screen])?.();
};
window.screenNames = Object.keys(learnerScreens);
window.staffScreens = Object.keys(staffScreens);
window.taught = steps.map(({ teach }) => teach.map((sentence) => fill(sentence, slots)));
Object.assign(window, { setLight, fitScreen, misfits, measure });
await document.fonts.load('400 20px "Atkinson Hyperlegible Next Variable"');
await document.fonts.ready;
document.documentElement.dataset.ready = '';
