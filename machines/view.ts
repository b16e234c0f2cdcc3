import type { StateValue } from 'xstate';
import { maxAttempts, nextStep, shownPoints } from './progress';
import { fill, prompt } from './script';
import type { SnapshotOf } from './snapshot';
import { questionOf, type StepContext } from './step';
import type { VisitScreen, VisitView } from './types';
import type { VisitContext } from './visit';

/*
 * From a snapshot of the visit to all that a screen needs. Each machine shows its part; the innermost
 * that has something to show wins.
 */

type Part = Partial<VisitView>;

/** The names of the active states, outermost first, down one branch. */
const path = (value: unknown): string[] => {
  if (typeof value === 'string') return [value];
  const [entry] = Object.entries((value ?? {}) as Record<string, unknown>);
  return entry === undefined ? [] : [entry[0], ...path(entry[1])];
};

const top = (value: unknown): string => path(value)[0] ?? '';

const sayPart = ({ value, context }: SnapshotOf): Part =>
  value === 'speaking' && context.leading >= 0
    ? { captions: context.lead, speaking: context.leading }
    : { captions: context.sentences, speaking: value === 'speaking' ? context.index : -1 };

const paces: Record<string, VisitView['listening']> = {
  opening: 'opening',
  waiting: 'waiting',
  hearing: 'hearing',
  pausing: 'pausing',
  takeYourTime: 'take-your-time',
  closing: 'closing',
};

const turnPart = ({ value, context }: SnapshotOf): Part => {
  const state = top(value);
  const pace = state === 'listening' ? (value as { listening: { pace: string } }).listening.pace : '';
  return {
    screen: state === 'listening' ? 'listen' : state === 'understanding' ? 'think' : 'ask',
    captions: context.say,
    ...(context.inner ? sayPart(context.inner) : {}),
    listening: paces[pace] ?? 'off',
    level: context.level,
    interim: context.interim?.text ?? '',
    ...(context.heard ? { heard: context.heard } : {}),
  };
};

const askPart = ({ value, context }: SnapshotOf): Part => {
  const inner = context.inner as SnapshotOf | null;
  const expects = { expects: context.request.kind };
  if (value === 'troubled') {
    return { ...expects, screen: 'trouble', trouble: context.reason, ...(inner ? sayPart(inner) : {}) };
  }
  if (value === 'silent') return { ...expects, captions: context.say, ...(inner ? sayPart(inner) : {}) };
  return { ...expects, captions: context.say, ...(inner ? turnPart(inner) : {}) };
};

const stepScreens: Record<string, VisitScreen> = {
  begin: 'explain',
  explain: 'explain',
  explained: 'ask',
  asking: 'ask',
  turn: 'ask',
  cards: 'cards',
  heard: 'think',
  confirm: 'confirm',
  rejected: 'ask',
  keeping: 'think',
  kept: 'think',
  sayBack: 'think',
  weighing: 'think',
  judging: 'think',
  judged: 'think',
  decide: 'think',
  praise: 'respond',
  reteach: 'respond',
  retaught: 'ask',
  handover: 'handover',
  closing: 'respond',
};

const stepPart = (snapshot: SnapshotOf): Part => {
  const context = snapshot.context as StepContext;
  const state = top(snapshot.value);
  const p = context.progress;
  const own: Part = {
    screen: stepScreens[state] ?? 'respond',
    findings: p.findings,
    asked: p.asked,
    attempt: p.attempt,
    expects: state === 'cards' ? 'answer' : null,
    question: questionOf(context).join(' '),
    ...(context.heard && state !== 'turn' ? { heard: context.heard } : {}),
  };
  if (!context.inner) return own;
  if (state === 'turn') return { ...own, ...askPart(context.inner) };
  if (state === 'confirm') {
    const { screen, heard: _, ...inner } = askPart(context.inner);
    return { ...own, ...inner, screen: screen === 'trouble' ? 'trouble' : 'confirm' };
  }
  return { ...own, ...sayPart(context.inner) };
};

const askScreens: Record<string, VisitScreen> = {
  resume: 'resume',
  cloud: 'cloud',
  soundCheck: 'sound-check',
  firstQuestion: 'sound-check',
  anyQuestion: 'summary',
  asking: 'question',
};

const sayScreens: Record<string, VisitScreen> = {
  choose: 'explain',
  begin: 'sound-check',
  soundFine: 'sound-check',
  showMe: 'show-me',
  summary: 'summary',
  looking: 'answer',
  answer: 'answer',
  help: 'help',
  helpOver: 'help',
  paused: 'paused',
  ended: 'ended',
};

const flowPart = (value: StateValue | undefined, context: VisitContext): Part => {
  const names = path(value);
  const state = names.findLast((n) => n in askScreens || n in sayScreens || n === 'teaching') ?? '';
  if (names.includes('teaching')) return context.inner ? stepPart(context.inner) : { screen: 'explain' };
  const asks = askScreens[state];
  if (asks !== undefined) {
    const part = context.inner ? askPart(context.inner) : {};
    return { ...part, screen: part.screen === 'trouble' ? 'trouble' : asks };
  }
  if (names.includes('paused') && names.includes('hearing') && context.inner) {
    return { ...turnPart(context.inner), screen: 'paused' };
  }
  return { screen: sayScreens[state] ?? 'explain', ...(context.inner ? sayPart(context.inner) : {}) };
};

const stepView = (context: VisitContext): VisitView['step'] => {
  const { lesson, start } = context;
  const id = context.step ?? nextStep(start, context.facts);
  const text = id === null ? undefined : lesson.teaching.steps[id];
  if (id === null || text === undefined) return null;
  const slots: Record<string, string> = start.particulars;
  return {
    id,
    title: fill(text.title, slots),
    picture: lesson.module.steps.find((s) => s.id === id)?.picture ?? '',
    pictureText: fill(text.pictureText, slots),
    index: start.steps.indexOf(id),
    count: start.steps.length,
  };
};

const note = ({ lesson, start }: VisitContext, part: Part, unsaved: number): string => {
  const key =
    part.listening === 'take-your-time'
      ? 'takeYourTime'
      : part.screen === 'think'
        ? 'thinking'
        : unsaved > 0
          ? 'notSaved'
          : null;
  return key === null ? '' : prompt({ lesson, start }, key).join(' ');
};

/** What the screens show for a snapshot of the visit. */
export const viewOf = (snapshot: { value: StateValue; context: VisitContext }): VisitView => {
  const { context } = snapshot;
  const flow = (snapshot.value as Record<string, StateValue>).flow;
  const part = flowPart(flow, context);
  const unsaved = context.storeTrouble ? context.queue.length : 0;
  return {
    screen: 'explain',
    captions: [],
    speaking: -1,
    listening: 'off',
    level: -100,
    interim: '',
    heard: null,
    findings: [],
    asked: [],
    attempt: 1,
    trouble: null,
    expects: null,
    question: '',
    ...part,
    step: stepView(context),
    attempts: maxAttempts,
    ear: context.ear,
    rate: context.rate,
    volume: context.volume,
    mode: context.mode,
    byEar: context.start.audioOnly,
    shown: shownPoints(context.facts),
    help: context.help?.by ?? null,
    note: note(context, part, unsaved),
    unsaved,
    storing: context.queue.length,
  };
};
