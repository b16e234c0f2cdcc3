import type { VisitView } from '../../../machines/types';

/** Screens that belong to no step. */
export const beforeSteps: ReadonlySet<VisitView['screen']> = new Set([
  'resume',
  'cloud',
  'sound-check',
  'show-me',
  'summary',
  'ended',
]);
