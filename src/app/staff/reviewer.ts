import { createContext, useContext } from 'react';
import type { By } from '../../records/types';
import type { Addition } from '../desks/review';

/** Whoever reviews a visit, and what they add to its record. */
export interface Reviewer {
  /** Who has opened the sealed records; null: the records lie open, and a name is typed. */
  me: By | null;
  /** As typed; kept from one small form to the next. */
  name: string;
  onName: (name: string) => void;
  /** Stores it. Rejects with a sentence. */
  add: (additions: Addition[]) => Promise<void>;
  /** Says what was done. */
  tell: (what: string) => void;
}

const context = createContext<Reviewer | null>(null);
export const ReviewedBy = context.Provider;

export function useReviewer(): Reviewer {
  const reviewer = useContext(context);
  if (!reviewer) throw new Error('Not within a review');
  return reviewer;
}
