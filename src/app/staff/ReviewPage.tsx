import { useMemo } from 'react';
import { exportBundle } from '../../fhir/export';
import type { OutboxView } from '../../fhir/outbox';
import type { PatientAsked } from '../../fhir/whose';
import type { VisitRecord } from '../../records/derive';
import { handoutOf } from '../../records/handout';
import { isMadeUp } from '../../records/invented';
import { chartNote } from '../../records/note';
import { summarize } from '../../records/summary';
import type { By } from '../../records/types';
import type { Addition } from '../desks/review';
import { Handout } from '../handout/Handout';
import { usePrint } from '../handout/usePrint';
import { downloadJson } from '../shared/download';
import type { Site } from '../site';
import type { StoredVisit } from '../state';
import { Erase, unfiled } from './Erase';
import { Rechecked } from './Rechecked';
import { Record } from './Record';
import { Review } from './Review';

/** A stored visit, with its handout ready to print. */
export function ReviewPage({
  stored,
  server = null,
  outbox = null,
  onFile = () => {},
  onWhose = () => {},
  onSettled = () => {},
  onRecheck,
  me = null,
  onAdd = async () => {},
  onDone,
  onErase = () => {},
  onBack,
}: {
  stored: StoredVisit;
  /** Where visits are filed; null: nowhere. */
  server?: Site['recordServer'] | null;
  outbox?: OutboxView | null;
  /** Files it, for the patient with this number if one is given. */
  onFile?: (visit: string, number?: string) => void;
  /** Staff have said whether it is the visit of the patient who was found. */
  onWhose?: (visit: string, asked: PatientAsked, yes: boolean) => void;
  /** Staff have put it into the chart by hand. */
  onSettled?: (visit: string) => void;
  /** Prepares a re-check of it. */
  onRecheck?: () => void;
  /** Who has opened the sealed records; null: they lie open. */
  me?: By | null;
  /** Adds to the record of the visit. Rejects with a sentence. */
  onAdd?: (additions: Addition[], name: string) => Promise<void>;
  /** Told of what left the screen. */
  onDone: (what: 'printed' | 'copied' | 'exported') => void;
  /** After they have said so once more. */
  onErase?: () => void;
  onBack: () => void;
}) {
  // What staff read and what goes into the chart is in their language; the handout is in the learner's.
  const { record, lesson } = stored.chart ?? stored;
  const { large, print } = usePrint();
  const made = useMemo(
    () => ({
      summary: summarize(record, lesson),
      note: chartNote(record, lesson.teaching),
      handout: handoutOf(stored.record, stored.lesson),
    }),
    [record, lesson, stored],
  );
  const exportIt = () =>
    downloadJson(
      `ownwords-fhir-${record.visit}.json`,
      exportBundle(record, lesson, new Date(), server?.patientSystem),
      'application/fhir+json',
    );
  return (
    <>
      <Review
        record={record}
        summary={made.summary}
        note={made.note}
        me={me}
        onAdd={onAdd}
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
        end={record.visit && <Erase unfiled={unfiled(outbox, record.visit)} onErase={onErase} />}
      >
        <Rechecked record={record} onRecheck={onRecheck} />
        {outbox && record.visit && record.state !== 'open' && !(record.start && isMadeUp(record.start)) && (
          <Record
            number={record.recordNumber}
            row={outbox.rows.get(record.visit)}
            asked={outbox.asked.get(record.visit) ?? null}
            entered={enteredOf(record)}
            onWhose={(asked, yes) => onWhose(record.visit ?? '', asked, yes)}
            onFile={(number) => onFile(record.visit ?? '', number)}
            onSettled={() => onSettled(record.visit ?? '')}
          />
        )}
      </Review>
      <Handout handout={made.handout} large={large} />
    </>
  );
}

/** Whom the start form named. */
function enteredOf({ start }: VisitRecord): string {
  if (!start) return 'nothing that can be read';
  const { role, name, relation } = start.learner;
  const who =
    role === 'patient' ? 'the patient' : `a caregiver${relation ? ` (${relation})` : ''}, not the patient`;
  return `${name}, ${who}, ${start.ward}, bed ${start.bed}`;
}
