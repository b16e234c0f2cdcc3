import { createRoot } from 'react-dom/client';
import { fill } from '../../../../machines/script';
import type { VisitView } from '../../../../machines/types';
import { Cover, StillThere } from '../../../../src/app/learner/Away';
import { Learner } from '../../../../src/app/learner/Learner';
import { Summary } from '../../../../src/app/learner/Summary';
import { loadLesson, offered } from '../../../../src/app/lessons';
import { particularsOf } from '../../../../src/app/particulars';
import { usePageLanguage } from '../../../../src/app/shared/language';
import { WordsOf } from '../../../../src/app/shared/words';
import { readSite } from '../../../../src/app/site';
import { Idle } from '../../../../src/app/staff/Idle';
import '../../../../src/app/shared/tokens.css';
import { cardsFor } from '../../../../src/scoring';
import { atRest } from '../../../app/view';

/*
 * ?module=...&language=...: any screen of the kiosk, alone, with the longest texts it may have to hold. The test
 * names the screen by `showScreen`, which resolves when it is drawn.
 */

declare global {
  interface Window {
    showScreen(name: string): Promise<void>;
    screenNames: string[];
  }
}

const asked = new URLSearchParams(location.search);
const [name, language] = [asked.get('module') ?? '', asked.get('language') ?? ''];
const { module, teaching, judging, common } = await loadLesson(name, language);
const slots: Record<string, string> = particularsOf(common, readSite('{}').site);
const longest = (texts: string[]) =>
  fill(
    texts.reduce((a, b) => (b.length > a.length ? b : a), ''),
    slots,
  );
const steps = Object.values(teaching.steps);
const concepts = Object.values(teaching.concepts);
const most = module.steps.reduce((a, b) => (b.concepts.length > a.concepts.length ? b : a));
const heard = longest(Object.values(judging.concepts).map(({ says }) => says));
const nothing = () => {};

const spoken: VisitView = {
  ...atRest,
  step: {
    id: most.id,
    title: longest(steps.map(({ title }) => title)),
    picture: most.picture,
    pictureText: 'seen',
    index: module.steps.length - 1,
    count: module.steps.length,
  },
  captions: [longest(steps.flatMap(({ teach }) => teach)), longest(steps.flatMap(({ teach }) => teach))],
  level: -25,
  heard: { text: `${heard} ${heard}`, confidence: 0.4, alternatives: [], engine: 'embedded' },
  question: longest(steps.map(({ question }) => question)),
  asked: most.concepts.map(({ id }) => id),
  ear: 'embedded',
  help: 'learner',
};
const say = (...keys: string[]) => keys.map((key) => fill(common.prompts[key] ?? '', slots));
const listens: Partial<VisitView> = {
  screen: 'listen',
  listening: 'hearing',
  expects: 'answer',
  interim: heard,
};

/** The last sentence sounds. */
const viewed = (change: Partial<VisitView>): VisitView => {
  const view = { ...spoken, ...change };
  return { ...view, speaking: view.captions.length - 1 };
};

const learner = (change: Partial<VisitView>) => (
  <Learner
    view={viewed(change)}
    send={nothing}
    cards={cardsFor(judging, spoken.asked, 1)}
    points={module.showMe.map((id) => ({ id, text: fill(teaching.showMe[id] ?? '', slots) }))}
  />
);
const labels = concepts.map(({ label }) => fill(label, slots));
const end = (change: Partial<VisitView>) => (
  <Summary
    view={viewed(change)}
    send={nothing}
    summary={{
      language,
      sentences: [],
      well: labels.slice(3),
      person: labels.slice(0, 3),
      rows: [],
      counts: {} as never,
      cautions: [],
    }}
    onPrint={nothing}
    onSave={nothing}
    onClinician={nothing}
    onClose={nothing}
  />
);

const screens: Record<string, () => React.ReactNode> = {
  idle: () => (
    <Idle
      language={language}
      languages={offered().flatMap((offer) => (offer.module === name ? [offer.language] : []))}
      onLanguage={nothing}
      onPractice={nothing}
      onStart={nothing}
      onVisits={nothing}
      notices={[]}
    />
  ),
  resume: () => learner({ screen: 'resume', captions: say('shallWeGoOn') }),
  cloud: () => learner({ screen: 'cloud', captions: say('cloudQuestion', 'cloudTouch'), expects: 'yes-no' }),
  'sound-check': () =>
    learner({ screen: 'sound-check', captions: say('soundCheckAgain'), expects: 'yes-no' }),
  explain: () => learner({}),
  ask: () => learner({ screen: 'ask', captions: [spoken.question, ...say('yourTurn')] }),
  listen: () => learner(listens),
  'listen-long': () => learner({ ...listens, listening: 'take-your-time', note: say('takeYourTime')[0]! }),
  'listen-yes-no': () => learner({ ...listens, expects: 'yes-no', question: say('anyQuestion')[0]! }),
  confirm: () => learner({ screen: 'confirm', listening: 'waiting', expects: 'yes-no' }),
  think: () => learner({ screen: 'think', note: say('thinking')[0]! }),
  trouble: () =>
    learner({ screen: 'trouble', trouble: 'denied', captions: say('microphoneDenied', 'troubleNext') }),
  cards: () => learner({ screen: 'cards', mode: 'cards', expects: 'answer' }),
  paused: () => learner({ screen: 'paused', captions: say('paused') }),
  'show-me': () => learner({ screen: 'show-me', captions: say('showMeLead') }),
  help: () => learner({ screen: 'help', captions: say('helpComing') }),
  summary: () => end({ screen: 'summary', captions: say('summaryLead') }),
  'summary-unsaved': () =>
    end({ screen: 'summary', captions: say('anyQuestion'), expects: 'yes-no', unsaved: 3 }),
  ended: () => end({ screen: 'ended', captions: say('finished') }),
  'still-there': () => <StillThere text={say('stillThere').join(' ')} onTouch={nothing} onHelp={nothing} />,
  covered: () => (
    <Cover text={say('screenHidden').join(' ')} go={common.screens.next} onGo={nothing} onHelp={nothing} />
  ),
  parked: () => (
    <Cover text={say('parked').join(' ')} go={common.screens.visits} onGo={nothing} onHelp={nothing} />
  ),
};

function Page({ children }: { children: React.ReactNode }) {
  usePageLanguage(language);
  return <WordsOf value={common.screens}>{children}</WordsOf>;
}

const root = createRoot(document.getElementById('root')!);
const drawn = () =>
  new Promise<void>((done) => requestAnimationFrame(() => requestAnimationFrame(() => done())));
window.showScreen = async (screen) => {
  root.render(<Page key={screen}>{screens[screen]!()}</Page>);
  await drawn();
  await document.fonts.ready;
  await Promise.all([...document.images].map((image) => image.decode()));
};
window.screenNames = Object.keys(screens);
document.documentElement.dataset.ready = '';
