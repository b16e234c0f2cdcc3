import type { VisitView } from '../../../../machines/types';
import type { Ward } from '../../../../src/app/desks/ward';
import { Following } from '../../../../src/app/follow/Following';
import { followView } from '../../../../src/app/follow/followView';
import { readSite } from '../../../../src/app/site';
import { Code } from '../../../../src/app/staff/Code';
import { Erase } from '../../../../src/app/staff/Erase';
import { FirstRun } from '../../../../src/app/staff/first/FirstRun';
import { Keep } from '../../../../src/app/staff/Keep';
import { NoteList, NoteView } from '../../../../src/app/staff/NotesOnServer';
import { OpenRecords } from '../../../../src/app/staff/OpenRecords';
import { People } from '../../../../src/app/staff/People';
import { PuttingBack } from '../../../../src/app/staff/PuttingBack';
import { Rechecked } from '../../../../src/app/staff/Rechecked';
import { RecheckForm } from '../../../../src/app/staff/RecheckForm';
import { Record as Filed } from '../../../../src/app/staff/Record';
import { Review } from '../../../../src/app/staff/Review';
import { SetUp } from '../../../../src/app/staff/SetUp';
import staffStyles from '../../../../src/app/staff/Staff.module.css';
import { StartForm } from '../../../../src/app/staff/StartForm';
import { Unreadable } from '../../../../src/app/staff/Unreadable';
import { Visits } from '../../../../src/app/staff/Visits';
import { Figures } from '../../../../src/app/staff/ward/Figures';
import { viewOf } from '../../../../src/fhir/outbox';
import { noVisits } from '../../../app/noVisits';
import { common, language, module, name, nothing, several, teaching } from './asked';
import { press } from './press';
import { again, backups, earlier, filedNotes, record, room, rows, told, unfiled, wardRead } from './records';
import { viewed } from './viewed';

/* Screens for staff only, and the window that follows. */

const firstRun = () => (
  <FirstRun
    site={readSite('{}').site}
    given={['language']}
    problems={['site.json, "keepDay": is not a known setting and is left out']}
    studio={{ stop: async () => {} } as never}
    languages={['en', 'es', 'fr']}
    ears={async (one) =>
      one === 'en'
        ? 'Hears by the built-in recogniser.'
        : 'Cannot hear this language here; answers are given by touch.'
    }
    sentence={common.screens.idleLead}
    secret="open"
    room={room}
    onRestore={nothing}
    onPractice={nothing}
    onStart={nothing}
    onLeave={nothing}
  />
);

const follows = (change: Partial<VisitView>, silent = false, lost = false) => (
  <Following
    followed={{ view: followView({ screen: 'visit', captions: [], visit: viewed(change) }, common), lost }}
    silent={silent}
  />
);

export const staffScreens: Record<string, () => React.ReactNode> = {
  'first-run': firstRun,
  'first-run-sound': firstRun,
  'first-run-secret': firstRun,
  'keep-file': () => <Keep backups={backups} sealed onSetUp={nothing} onBack={nothing} />,
  'putting-back': () => <PuttingBack visits={5000} done={1225} />,
  unreadable: () => (
    <Unreadable why="Its beginning could not be read." unfiled onErase={nothing} onBack={nothing} />
  ),
  start: () => (
    <StartForm
      site={readSite('{"recordServer":{"address":"/fhir","patientSystem":"urn:oid:2.999.4.1"}}').site}
      lessons={several}
      ears={async () => 'Hears by the built-in recogniser.'}
      sealing="open"
      onStart={nothing}
      onCancel={nothing}
    />
  ),
  recheck: () => <RecheckForm record={earlier()} onStart={nothing} onBack={nothing} />,
  rechecked: () => (
    <main className={staffStyles.staff}>
      <h1>Review</h1>
      <Rechecked record={again()} onRecheck={nothing} />
    </main>
  ),
  visits: () => (
    <Visits
      {...noVisits}
      followUps={
        new Map([
          ['2', { recheck: null, toCome: { module: name, language }, title: teaching.title }],
          ['3', { recheck: { at: '2026-03-07T09:45:00Z', due: true }, toCome: null, title: '' }],
        ])
      }
      visits={[1, 2, 3, 4, 5, 6].map((n) => ({
        visit: `${n}`,
        startedAt: '2026-03-05T09:30:00Z',
        lastAt: '2026-03-05T09:45:00Z',
        next: 9,
        practice: n === 1,
        finished: n === 2 ? null : 'completed',
        signed: n === 4 ? 'yes' : n === 5 ? 'changed' : n === 6 ? undefined : 'no',
      }))}
      outbox={viewOf([unfiled], new Set())}
      keeping={{ keepDays: 30, waiting: 1, misdated: 0, clock: 'far' }}
      notices={['A notice to staff.']}
    />
  ),
  'visits-sealed': () => (
    <Visits {...noVisits} sealing={{ state: 'sealed', by: 'R. Quillon' }} onServer={nothing} />
  ),
  'on-server': () => (
    <NoteList
      notes={filedNotes}
      done={false}
      unreadable={1}
      problem="The record server is busy or out of order. Try again in a few minutes. (503.)"
      onMore={nothing}
      onRead={nothing}
      onBack={nothing}
      onClose={nothing}
    />
  ),
  'on-server-note': () => <NoteView note={filedNotes[1]!} onBack={nothing} onClose={nothing} />,
  'follow-visit': () => follows({ screen: 'explain' }, true),
  'follow-help': () => follows({ screen: 'help', captions: [] }, true, true),
  'follow-lost': () => <Following followed={{ view: null, lost: true }} silent={false} />,
  'open-records': () => <OpenRecords room={room} onOpened={nothing} onBack={nothing} />,
  'set-up': () => <SetUp room={room} onDone={nothing} onBack={nothing} />,
  code: () => <Code code="7K3MZ-0QW2E-R4T5Y-6HJ8P-9ABCD-F" onDone={nothing} />,
  people: () => <People room={room} me="rue" kiosk="Harbor 4" onBack={nothing} onClose={nothing} />,
  ward: () => (
    <main className={staffStyles.staff}>
      <h1>Ward</h1>
      <Figures
        ward={
          { texts: { [module.id]: { module, teaching: told } }, nameOf: () => 'Harbor 4' } as unknown as Ward
        }
        read={wardRead()}
        now={new Date('2026-03-05T12:00:00Z')}
      />
    </main>
  ),
  review: () => (
    <Review
      record={record()}
      summary={{ language, sentences: [], well: [], person: [], rows, counts: {} as never, cautions: [] }}
      note={rows.map(({ label, reason }) => `${label}: ${reason}`).join('\n')}
      onAdd={async () => {}}
      onPrint={nothing}
      onExport={nothing}
      onCopied={nothing}
      onBack={nothing}
      end={<Erase unfiled={false} onErase={nothing} />}
    >
      <Filed
        number="A-19"
        row={unfiled}
        asked={{ number: 'A-19', patient: 'Patient/1', name: 'Tobin Vance', born: '1950-05-04' }}
        entered="I. M., a caregiver (granddaughter), not the patient, Harbor 4, bed 12"
        onFile={nothing}
      />
    </Review>
  ),
};

/** What is touched on a screen before it is looked at. */
export const touchedByStaff: Record<string, () => void> = {
  'first-run-sound': () => press('ol li:nth-child(2) button'),
  'first-run-secret': () => press('ol li:nth-child(4) button'),
  'keep-file': () => {
    const input = document.querySelector<HTMLInputElement>('input[type=file]')!;
    const given = new DataTransfer();
    given.items.add(new File(['x'], 'backup-2026-03-05.ownwords'));
    input.files = given.files;
    input.dispatchEvent(new Event('change', { bubbles: true }));
  },
  unreadable: () => press('section button'),
  // As it stands while somebody decides about a point.
  review: () => press('table button'),
};
