import { useMemo } from 'react';
import { exportBundle } from '../../fhir/export';
import { handoutOf } from '../../records/handout';
import { chartNote } from '../../records/note';
import { summarize } from '../../records/summary';
import { Handout } from '../handout/Handout';
import { usePrint } from '../handout/usePrint';
import type { StoredVisit } from '../kiosk';
import { downloadJson } from '../shared/download';
import { Review } from './Review';

/** A stored visit, with its handout ready to print. */
export function ReviewPage({
  stored,
  onDone,
  onBack,
}: {
  stored: StoredVisit;
  /** Told of what left the screen. */
  onDone: (what: 'printed' | 'copied' | 'exported') => void;
  onBack: () => void;
}) {
  const { record, lesson } = stored;
  const { large, print } = usePrint();
  const made = useMemo(
    () => ({
      summary: summarize(record, lesson),
      note: chartNote(record, lesson.teaching),
      handout: handoutOf(record, lesson),
    }),
    [record, lesson],
  );
  const exportIt = () =>
    downloadJson(
      `ownwords-fhir-${record.visit}.json`,
      exportBundle(record, lesson, new Date()),
      'application/fhir+json',
    );
  return (
    <>
      <Review
        record={record}
        summary={made.summary}
        note={made.note}
        onExport={() => {
          exportIt();
          onDone('exported');
        }}
        onPrint={(large) => {
          onDone('printed');
          print(large);
        }}
        onCopied={() => onDone('copied')}
        onBack={onBack}
      />
      <Handout handout={made.handout} large={large} />
    </>
  );
}
