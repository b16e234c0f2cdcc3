import type { VisitView } from '../../../../machines/types';
import { atRest } from '../../../app/view';
import { heard, longest, module, steps } from './asked';

/* A visit that runs, with the longest texts. */

const most = module.steps.reduce((a, b) => (b.concepts.length > a.concepts.length ? b : a));

export const spoken: VisitView = {
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

/** What the test has said and shown in place of the longest. */
export const given: { captions?: string[] | undefined; change?: Partial<VisitView> | undefined } = {};

/** The last sentence sounds. */
export const viewed = (change: Partial<VisitView>): VisitView => {
  const { captions } = given;
  const view = { ...spoken, ...change, ...(captions ? { captions } : {}), ...given.change };
  return { ...view, speaking: view.captions.length - 1 };
};
