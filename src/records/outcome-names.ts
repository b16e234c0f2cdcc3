import type { Outcome } from './derive';

/** What came of a point, for staff. */
export const outcomeNames: Record<Outcome, string> = {
  'first-try': 'said at once',
  'after-reteach': 'said after teaching again',
  confirmed: 'understood, as decided',
  'needs-person': 'needs a person',
  'not-said': 'not said (extra)',
  'not-asked': 'not asked',
};
