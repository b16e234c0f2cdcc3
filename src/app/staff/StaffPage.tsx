import { useMemo, useRef } from 'react';
import { makeStudio } from '../desks/studio';
import type { Kiosk } from '../kiosk';
import type { KioskState } from '../state';
import { unfiled } from './Erase';
import { FirstRun } from './first/FirstRun';
import { Keep } from './Keep';
import { OnServer } from './OnServer';
import { OpenRecords } from './OpenRecords';
import { People } from './People';
import { RecheckForm } from './RecheckForm';
import { Recordings } from './Recordings';
import { ReviewPage } from './ReviewPage';
import { SetUp } from './SetUp';
import styles from './Staff.module.css';
import { StartForm } from './StartForm';
import { Unreadable } from './Unreadable';
import { Visits } from './Visits';
import type { Place } from './VisitTable';
import { WardPage } from './WardPage';

/** One of the staff's pages, and a word before the records close by themselves. */
export function StaffPage({ kiosk, state }: { kiosk: Kiosk; state: KioskState }) {
  return (
    <>
      <StaffScreen kiosk={kiosk} state={state} />
      <p role="status" className={styles.closing}>
        {state.closing}
      </p>
    </>
  );
}

function StaffScreen({
  kiosk,
  state: { page, site, outbox, keeping, offline, settings, persistence, notices },
}: {
  kiosk: Kiosk;
  state: KioskState;
}) {
  const place = useRef<Place>({ until: '', toSign: false, shown: 0, opened: '' });
  const studio = useMemo(() => makeStudio(kiosk.studioParts), [kiosk]);
  switch (page.at) {
    case 'start':
      return (
        site && (
          <StartForm
            site={site}
            lessons={page.lessons}
            ears={kiosk.ears}
            pack={kiosk.pack}
            sealing={page.sealing}
            onStart={kiosk.begin}
            onCancel={kiosk.idle}
          />
        )
      );
    case 'visits':
      return (
        <Visits
          visits={page.visits}
          outbox={outbox}
          keeping={keeping ?? null}
          offline={offline ?? null}
          persistence={persistence}
          notices={notices}
          keptAside={page.keptAside}
          sealing={page.sealing}
          place={place.current}
          followUps={page.followUps}
          onOpen={kiosk.records.review}
          onGoOn={kiosk.goOnFromList}
          onNext={kiosk.followOn.nextFromList}
          onFileNow={() => kiosk.filing.now()}
          onWard={kiosk.records.ward}
          onRecordings={kiosk.openRecordings}
          onKeep={kiosk.keeping.openPage}
          onFirstRun={kiosk.firstRun.openPage}
          onClock={kiosk.keeping.confirmClock}
          onSetUp={kiosk.records.setUp}
          onPeople={kiosk.records.people}
          onFollow={openFollowing}
          onServer={site?.recordServer ? kiosk.records.server : null}
          onClose={kiosk.idle}
          onBack={kiosk.idle}
        />
      );
    case 'recordings':
      return (
        site && (
          <Recordings
            site={site}
            lessons={page.lessons}
            studio={studio}
            notices={notices}
            onBack={kiosk.records.list}
          />
        )
      );
    case 'review':
      return (
        <ReviewPage
          stored={page.stored}
          server={site?.recordServer ?? null}
          outbox={outbox}
          onFile={(visit, number) =>
            number ? kiosk.filing.forNumber(visit, number) : kiosk.filing.now(visit)
          }
          onWhose={kiosk.filing.answer}
          onSettled={kiosk.filing.settle}
          me={kiosk.reviewing.me}
          onAdd={(additions, name) => kiosk.reviewing.add(page.visit, additions, name)}
          onRecheck={() => kiosk.followOn.openRecheck(page.visit, page.stored)}
          onDone={(what) => kiosk.records.did(what, page.visit)}
          onErase={() => kiosk.keeping.eraseForGood(page.visit)}
          onBack={kiosk.records.list}
        />
      );
    case 'unreadable':
      return (
        <Unreadable
          why={page.why}
          unfiled={unfiled(outbox, page.visit)}
          onErase={() => kiosk.keeping.eraseForGood(page.visit)}
          onBack={kiosk.records.list}
        />
      );
    case 'first-run':
      return (
        site && (
          <FirstRun
            site={site}
            given={settings?.given ?? []}
            problems={settings?.problems ?? []}
            studio={studio}
            languages={page.languages}
            ears={kiosk.ears}
            sentence={page.sentence}
            secret={page.secret}
            room={page.room}
            onRestore={kiosk.keeping.openPage}
            onPractice={() => {
              kiosk.firstRun.leave('done');
              void kiosk.practice();
            }}
            onStart={() => {
              kiosk.firstRun.leave('later');
              void kiosk.openStart();
            }}
            onLeave={kiosk.firstRun.leave}
          />
        )
      );
    case 'keep':
      return (
        <Keep
          backups={page.backups}
          sealed={page.sealed}
          keepDays={site?.keepDays}
          onSetUp={kiosk.records.setUp}
          onBack={kiosk.records.list}
        />
      );
    case 'recheck':
      return (
        <RecheckForm
          record={page.stored.record}
          onStart={(entry) => kiosk.followOn.recheck(page.stored, entry)}
          onBack={() => kiosk.records.review(page.visit)}
        />
      );
    case 'on-server':
      return (
        <OnServer
          more={page.more}
          onRead={(visit) => page.room.note('server-read', visit)}
          onBack={kiosk.records.list}
          onClose={kiosk.idle}
        />
      );
    case 'open-records':
      return <OpenRecords room={page.room} onOpened={page.onOpened} onBack={kiosk.idle} />;
    case 'set-up':
      return <SetUp room={page.room} onDone={kiosk.records.list} onBack={kiosk.records.list} />;
    case 'people':
      return (
        <People
          room={page.room}
          me={page.me}
          kiosk={site?.recordServer?.kiosk ?? site?.ward ?? 'Kiosk'}
          onBack={kiosk.records.list}
          onClose={kiosk.idle}
        />
      );
    case 'ward':
      return <WardPage ward={page.ward} onBack={kiosk.records.list} />;
    default:
      return null;
  }
}

/** Beside the kiosk's own window, in the same browser; pressed again it is brought to the front. */
const openFollowing = () => void window.open('/?follow', 'ownwords-follow', 'popup');
