import type { Handout as HandoutModel } from '../../records/handout';
import styles from './Handout.module.css';

/** The page the learner takes home. Print only: on screen it is not shown. */
export function Handout({ handout }: { handout: HandoutModel }) {
  const date = handout.date
    ? new Date(handout.date).toLocaleDateString(handout.language, { dateStyle: 'long' })
    : '';
  return (
    <article className={styles.handout} lang={handout.language}>
      <header className={styles.head}>
        <h1>{handout.title}</h1>
        <p>
          {[handout.learner, date].filter(Boolean).join(' · ')}
          {handout.practice && ' · Practice visit, not for the chart'}
        </p>
      </header>
      {handout.practiseFirst.length > 0 && (
        <section className={styles.first}>
          <h2>Practice these first</h2>
          <ul>
            {handout.practiseFirst.map((item) => (
              <li key={item.concept}>
                <strong>{item.label}.</strong> {item.sentences.join(' ')}
                {item.outcome === 'needs-person' && <em> A person will go over this with you.</em>}
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
              {step.sentences.map((sentence) => (
                <p key={sentence}>{sentence}</p>
              ))}
            </div>
          </li>
        ))}
      </ol>
      <section className={styles.two}>
        <div>
          <h2>Taking care of it</h2>
          <ul>
            {handout.care.map((sentence) => (
              <li key={sentence}>{sentence}</li>
            ))}
          </ul>
        </div>
        <div className={styles.call}>
          <h2>When to call</h2>
          <ul>
            {handout.whenToCall.sentences.map((sentence) => (
              <li key={sentence}>{sentence}</li>
            ))}
          </ul>
          <p className={styles.numbers}>
            <span>
              Call <strong>{handout.whenToCall.callNumber}</strong>
            </span>
            <span>
              Emergency <strong>{handout.whenToCall.emergencyNumber}</strong>
            </span>
          </p>
        </div>
      </section>
      {handout.questions.length > 0 && (
        <section>
          <h2>Your questions for the care team</h2>
          <ul>
            {handout.questions.map((question) => (
              <li key={question}>{question}</li>
            ))}
          </ul>
        </section>
      )}
      <section className={styles.notes}>
        <h2>Notes</h2>
        <div />
        <div />
        <div />
      </section>
      <footer className={styles.cautions}>
        {handout.cautions.join(' ')}
        {handout.unreviewed && ' These texts have not been reviewed by a qualified person.'}
      </footer>
    </article>
  );
}
