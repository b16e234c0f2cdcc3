import { Progress } from '../learner/Screen';
import { Captions } from '../shared/Captions';
import { Icon } from '../shared/Icon';
import { usePageLanguage } from '../shared/language';
import type { Followed } from './channel';
import styles from './Following.module.css';
import type { FollowView } from './followView';

/** The kiosk as a second window shows it: to be looked at only. A call for help stays, whatever becomes of the kiosk. */
export function Following({
  followed: { view, lost },
  silent,
}: {
  followed: Followed;
  /** The browser lets this window make no sound yet. */
  silent: boolean;
}) {
  usePageLanguage(view?.language ?? 'en');
  const helping = view?.show === 'help';
  return (
    <main className={styles.window} data-following={lost ? 'lost' : (view?.show ?? 'waiting')}>
      {lost && !helping ? <Lost /> : view ? <Shown view={view} /> : <Waiting />}
      {lost && helping && (
        <p className={styles.staff} role="alert" lang="en" dir="ltr">
          Nothing comes from the kiosk any more. Go there.
        </p>
      )}
      {silent && (
        <p className={styles.staff} lang="en" dir="ltr">
          No sound yet: touch this screen once, so that a call for help can be heard here.
        </p>
      )}
    </main>
  );
}

function Shown({ view }: { view: FollowView }) {
  switch (view.show) {
    case 'idle':
      return (
        <div className={styles.still}>
          <p className={styles.product} translate="no">
            Ownwords
          </p>
          <h1>{view.title}</h1>
        </div>
      );
    case 'covered':
      return (
        <div className={styles.still}>
          <h1>{view.text}</h1>
        </div>
      );
    case 'help':
      return (
        <div className={styles.alarm}>
          <h1>{view.title}</h1>
          <p role="alert">{view.text}</p>
        </div>
      );
    default:
      return <Visit view={view} />;
  }
}

function Visit({
  view: { title, step, captions, speaking, listening },
}: {
  view: Extract<FollowView, { show: 'visit' }>;
}) {
  return (
    <div className={styles.visit}>
      <header className={styles.bar}>
        <h1 className="visually-hidden">{step?.title ?? title}</h1>
        {step ? (
          <Progress {...step} />
        ) : (
          <p className={styles.product} translate="no">
            Ownwords
          </p>
        )}
      </header>
      <div className={step ? styles.withPicture : styles.content}>
        {step && <img className={styles.picture} src={`/pictures/${step.picture}`} alt={step.pictureText} />}
        <Captions sentences={captions} speaking={speaking} />
      </div>
      <p className={styles.ear} role="status">
        {listening && (
          <>
            <Icon name="voice" /> {listening}
          </>
        )}
      </p>
    </div>
  );
}

const Waiting = () => (
  <div className={styles.still} lang="en" dir="ltr">
    <h1>Looking for the kiosk …</h1>
  </div>
);

const Lost = () => (
  <div className={styles.still} lang="en" dir="ltr">
    <h1>The kiosk is lost</h1>
    <p role="alert">Nothing comes from it any more. See whether its window is still open on this device.</p>
  </div>
);
