import type { VisitRecord } from '../../records/derive';
import { stillOpen } from '../../records/reviewed';

const count = (n: number, one: string, many = `${one}s`): string => `${n} ${n === 1 ? one : many}`;

/** What a clinician has to do about a visit, in a line. */
export function headline({ concepts, questions, showMe, state }: VisitRecord): string {
  const open = concepts.filter(({ outcome }) => outcome === 'needs-person');
  const against = open.filter(({ review }) => review.includes('misconception')).length;
  const critical = open.filter(({ weight }) => weight === 'critical').length;
  const unasked = concepts.filter(({ outcome }) => outcome === 'not-asked').length;
  const unanswered = questions.filter(stillOpen).length;
  const watched = showMe.filter(({ shown }) => shown !== null);
  const unshown = watched.filter(({ shown }) => !shown).length;
  const parts = [
    open.length > 0 &&
      `${count(open.length, 'point needs', 'points need')} a person${critical > 0 ? ` (${critical} critical)` : ''}`,
    against > 0 && `${count(against, 'point was', 'points were')} said the other way round`,
    unasked > 0 && `${count(unasked, 'point was', 'points were')} not asked${state === 'open' ? ' yet' : ''}`,
    unanswered > 0 && `${count(unanswered, 'question has', 'questions have')} no answer yet`,
    unshown > 0 && `${count(unshown, 'thing was', 'things were')} not shown yet`,
    showMe.length > 0 && watched.length === 0 && 'nobody watched the hands',
  ].filter((part) => part !== false);
  if (parts.length === 0) return 'Every point was said back; nothing is open.';
  const [first = '', ...rest] = parts;
  return `${first.charAt(0).toUpperCase()}${[first.slice(1), ...rest].join('; ')}.`;
}
