export * from './kiosk';
export { makeKiosk, makeMachines, makeVisit } from './make';
export { maxAttempts, outcome, placeOf, stepProgress } from './progress';
export { type PromptKey, promptKeys, promptSlots } from './prompts';
export { missingPrompts } from './script';
export type * from './services';
export type * from './types';
export { viewOf } from './view';
export { type VisitContext, visitMachine } from './visit';
