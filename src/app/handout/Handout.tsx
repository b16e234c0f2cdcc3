import type { Handout as HandoutModel } from '../../records/handout';
import styles from './Handout.module.css';

/** Two sides of paper for the learner: how to do it, and what to keep at hand. On screen it is not shown. */
export function Handout({ handout, large = false }: { handout: HandoutModel; large?: boolean }) {
  const { words } = handout;
  const date = handout.date
    ? new Date(handout.date).toLocaleDateString(handout.language, { dateStyle: 'long' })
    : '';
  return (
    <article
      className={large ? `${styles.handout} ${styles.large}` : styles.handout}
      lang={handout.language}
      data-handout
    >
      <section className={styles.side}>
        <header className={styles.head}>
          <h1>{handout.title}</h1>
          <p>
            {[handout.learner, date, handout.practice && words.practiceVisit].filter(Boolean).join(' · ')}
          </p>
        </header>
        {handout.practiseFirst.length > 0 && (
          <section className={styles.first}>
            <h2>{words.practiseFirst}</h2>
            <ul>
              {handout.practiseFirst.map((item) => (
                <li key={item.concept}>
                  <strong>{item.label}.</strong> {item.sentences.join(' ')}
                  {item.outcome === 'needs-person' && <em> {words.aPerson}</em>}
                </li>
              ))}
            </ul>
          </section>
        )}
        <ol className={styles.steps}>
          {handout.steps.map((step) => (
            <li key={step.step} className={step.stressed ? styles.stressed : undefined}>
              {step.picture && <img src={`/pictures/${step.picture}`} alt={step.pictureText} />}
              <div>
                <h3>{step.title}</h3>
                <p>{step.sentences.join(' ')}</p>
              </div>
            </li>
          ))}
        </ol>
      </section>
      <section className={styles.side}>
        <section className={styles.call}>
          <h2>{words.callTitle}</h2>
          <Listed items={handout.whenToCall.sentences} />
          <p className={styles.numbers}>
            <span>
              {words.callEmergency} <strong>{handout.whenToCall.emergencyNumber}</strong>
            </span>
            <span>
              {words.callUs} <strong>{handout.whenToCall.callNumber}</strong>
            </span>
          </p>
        </section>
        <section className={styles.card}>
          <h2>{words.care}</h2>
          <Listed items={handout.care} />
        </section>
        {handout.questions.length > 0 && (
          <section className={styles.card}>
            <h2>{words.questions}</h2>
            <Listed items={handout.questions} />
          </section>
        )}
        <section className={styles.notes}>
          <h2>{words.notes}</h2>
          <div />
          <div />
          <div />
        </section>
        <footer className={styles.cautions}>
          {handout.cautions.join(' ')}
          {handout.unreviewed && ` ${words.notReviewed}`}
        </footer>
      </section>
    </article>
  );
}

const Listed = ({ items }: { items: string[] }) => (
  <ul>
    {items.map((item) => (
      <li key={item}>{item}</li>
    ))}
  </ul>
);
