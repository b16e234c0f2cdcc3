import type { VisitRecord } from '../../records/derive';
import { stillOpen } from '../../records/reviewed';

const count = (n: number, one: string, many = `${one}s`): string => `${n} ${n === 1 ? one : many}`;

type Seen = Pick<VisitRecord, 'concepts' | 'questions' | 'showMe' | 'state'>;

/** What a clinician has to do about a visit, thing by thing, gravest first. */
export function openParts({ concepts, questions, showMe, state }: Seen): string[] {
  const open = concepts.filter(({ outcome }) => outcome === 'needs-person');
  const against = open.filter(({ review }) => review.includes('misconception')).length;
  const critical = open.filter(({ weight }) => weight === 'critical').length;
  const unasked = concepts.filter(({ outcome }) => outcome === 'not-asked').length;
  const unanswered = questions.filter(stillOpen).length;
  const watched = showMe.filter(({ shown }) => shown !== null);
  const unshown = watched.filter(({ shown }) => !shown).length;
  return [
    open.length > 0 &&
      `${count(open.length, 'point needs', 'points need')} a person${critical > 0 ? ` (${critical} critical)` : ''}`,
    against > 0 && `${count(against, 'point was', 'points were')} said the other way round`,
    unasked > 0 && `${count(unasked, 'point was', 'points were')} not asked${state === 'open' ? ' yet' : ''}`,
    unanswered > 0 && `${count(unanswered, 'question has', 'questions have')} no answer yet`,
    unshown > 0 && `${count(unshown, 'thing was', 'things were')} not shown yet`,
    showMe.length > 0 && watched.length === 0 && 'nobody watched the hands',
  ].filter((part) => part !== false);
}

/** The same in a line. */
export function headline(record: Seen): string {
  const parts = openParts(record);
  if (parts.length === 0) {
    const confirmed = record.concepts.some(({ outcome }) => outcome === 'confirmed');
    return `Every point was said back${confirmed ? ' or is confirmed' : ''}; nothing is open.`;
  }
  const [first = '', ...rest] = parts;
  return `${first.charAt(0).toUpperCase()}${[first.slice(1), ...rest].join('; ')}.`;
}
