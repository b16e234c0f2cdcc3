import { ending, fill, summary as summarySays } from '../../../../machines/script';
import type { Card, VisitView } from '../../../../machines/types';
import { Cover, StillThere } from '../../../../src/app/learner/Away';
import { Learner } from '../../../../src/app/learner/Learner';
import { Summary } from '../../../../src/app/learner/Summary';
import { offered } from '../../../../src/app/lessons';
import { Idle } from '../../../../src/app/staff/Idle';
import { cardsFor } from '../../../../src/scoring';
import {
  common,
  heard,
  judging,
  labels,
  language,
  longest,
  module,
  name,
  nothing,
  say,
  slots,
  start,
  teaching,
} from './asked';
import { press } from './press';
import { spoken, viewed } from './viewed';

/* Screens for learners, and the idle one. */

const lengthOf = (cards: Card[]) => cards.reduce((sum, { text }) => sum + text.length, 0);

const listens: Partial<VisitView> = {
  screen: 'listen',
  listening: 'hearing',
  expects: 'answer',
  interim: heard,
};

/** Cards of every concept of the module, the longest concept first. */
const allCards = Object.keys(judging.concepts)
  .map((concept) => cardsFor(judging, [concept], 1))
  .sort((a, b) => lengthOf(b) - lengthOf(a))
  .flat();
const points = module.showMe
  .map((id) => ({ id, text: fill(teaching.showMe[id] ?? '', slots) }))
  .sort((a, b) => b.text.length - a.text.length);

/** Those of the step that asks most, as many as a learner may have to put in order. */
const mostCards = cardsFor(judging, spoken.asked, 1);

const learner = (change: Partial<VisitView>, cards = allCards, inOrder = false) => (
  <Learner view={viewed(change)} send={nothing} cards={cards} inOrder={inOrder} points={points} />
);
/** Where one sentence and the one before it are longest. */
const longestPair = (sentences: string[]) => {
  const pairs = sentences.map((sentence, index) => [
    ...sentences.slice(Math.max(0, index - 1), index),
    sentence,
  ]);
  return pairs.reduce((a, b) => (b.join('').length > a.join('').length ? b : a));
};
const visit = { lesson: { module, teaching, judging, common }, start };
const all = Object.keys(teaching.concepts);
const summarySaid = summarySays(visit, all, all);
const nextPair = longestPair(ending(visit, false, teaching.device));
const summary = {
  language,
  sentences: [],
  well: labels.slice(3),
  person: labels.slice(0, 3),
  rows: [],
  counts: {} as never,
  cautions: [],
};

const end = (change: Partial<VisitView>, onNext?: () => void, readable = true) => (
  <Summary
    view={viewed(change)}
    send={nothing}
    summary={readable ? summary : null}
    onNext={onNext}
    onPrint={nothing}
    onSave={nothing}
    onClinician={nothing}
    onClose={nothing}
  />
);

const idle = (change: Partial<React.ComponentProps<typeof Idle>> = {}) => (
  <Idle
    language={language}
    languages={offered().flatMap((offer) => (offer.module === name ? [offer.language] : []))}
    onLanguage={nothing}
    onPractice={nothing}
    onStart={nothing}
    onVisits={nothing}
    notices={[]}
    {...change}
  />
);

export const learnerScreens: Record<string, () => React.ReactNode> = {
  idle: () => idle(),
  'idle-new': () => idle({ onSetUp: nothing, onNotNow: nothing }),
  resume: () => learner({ screen: 'resume', captions: say('shallWeGoOn') }),
  cloud: () => learner({ screen: 'cloud', captions: say('cloudQuestion', 'cloudTouch'), expects: 'yes-no' }),
  'sound-check': () =>
    learner({ screen: 'sound-check', captions: say('soundCheckAgain'), expects: 'yes-no' }),
  explain: () => learner({}),
  ask: () => learner({ screen: 'ask', captions: [spoken.question, ...say('yourTurn')] }),
  listen: () => learner(listens),
  'listen-long': () => learner({ ...listens, listening: 'take-your-time', note: say('takeYourTime')[0]! }),
  'listen-yes-no': () => learner({ ...listens, expects: 'yes-no', question: say('anyQuestion')[0]! }),
  'confirm-long': () =>
    learner({
      screen: 'confirm',
      listening: 'waiting',
      expects: 'yes-no',
      heard: { ...spoken.heard!, text: Array(6).fill(heard).join(' ') },
    }),
  confirm: () => learner({ screen: 'confirm', listening: 'waiting', expects: 'yes-no' }),
  think: () => learner({ screen: 'think', note: say('thinking')[0]! }),
  trouble: () =>
    learner({ screen: 'trouble', trouble: 'denied', captions: say('microphoneDenied', 'troubleNext') }),
  cards: () => learner({ screen: 'cards', mode: 'cards', expects: 'answer' }),
  'cards-chosen': () => learner({ screen: 'cards', mode: 'cards', expects: 'answer' }),
  'cards-last': () => learner({ screen: 'cards', mode: 'cards', expects: 'answer' }, allCards.slice(0, 6)),
  'cards-order': () => learner({ screen: 'cards', mode: 'cards', expects: 'answer' }, mostCards, true),
  'cards-typed': () => learner({ screen: 'cards', mode: 'cards', expects: 'answer' }),
  'cards-none': () => learner({ screen: 'cards', mode: 'cards', expects: 'question' }, []),
  paused: () => learner({ screen: 'paused', captions: say('paused') }),
  'show-me': () => learner({ screen: 'show-me', captions: say('showMeLead') }),
  'show-me-next': () => learner({ screen: 'show-me', captions: say('showMeLead') }),
  'show-me-all': () => learner({ screen: 'show-me', captions: say('showMeLead') }),
  help: () => learner({ screen: 'help', captions: say('helpComing') }),
  summary: () => end({ screen: 'summary', captions: longestPair(summarySaid) }),
  'summary-next': () => end({ screen: 'summary', captions: [longest(summarySaid)] }),
  'summary-unsaved': () =>
    end({ screen: 'summary', captions: say('anyQuestion'), expects: 'yes-no', unsaved: 3 }),
  ended: () => end({ screen: 'ended', captions: say('finished') }),
  'ended-unreadable': () => end({ screen: 'ended', captions: say('finished') }, undefined, false),
  'ended-more': () => end({ screen: 'ended', captions: nextPair }, nothing),
  'still-there': () => <StillThere text={say('stillThere').join(' ')} onTouch={nothing} onHelp={nothing} />,
  covered: () => (
    <Cover text={say('screenHidden').join(' ')} go={common.screens.next} onGo={nothing} onHelp={nothing} />
  ),
  parked: () => (
    <Cover text={say('parked').join(' ')} go={common.screens.visits} onGo={nothing} onHelp={nothing} />
  ),
};

/** What is touched on a screen before it is looked at. */
export const touchedByLearner: Record<string, () => void> = {
  'cards-chosen': () => press('[data-screen] [class*=_card_]'),
  'cards-last': () => {
    press('footer button');
    press('[data-screen] [class*=_card_]');
  },
  'cards-order': () => {
    for (const _ of spoken.asked) {
      press('[data-screen] [class*=_card_]:not(:has(~ [class*=_card_]))');
      press('footer button');
    }
    press('[data-screen] [class*=_card_]');
  },
  'cards-typed': () => press('footer > :last-child > :last-child'),
  'show-me-next': () => press('fieldset button'),
  'show-me-all': () => {
    for (const _ of points) press('fieldset button');
  },
  'summary-next': () => press('[data-pages] ~ * button:last-child'),
};
