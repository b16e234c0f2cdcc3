import { Erase } from './Erase';
import styles from './Staff.module.css';

/** In place of the review of a visit that cannot be read: it can be kept for whoever can mend it, or erased. */
export function Unreadable({
  why,
  unfiled,
  onErase,
  onBack,
}: {
  why: string;
  unfiled: boolean;
  onErase: () => void;
  onBack: () => void;
}) {
  return (
    <main className={styles.staff} data-screen="unreadable">
      <h1>This visit cannot be shown</h1>
      <p>{why}</p>
      <p className={styles.caption}>What is stored of it stays as it is. A backup may have it whole.</p>
      <div className={styles.buttons}>
        <button type="button" onClick={onBack}>
          Back
        </button>
      </div>
      <Erase unfiled={unfiled} onErase={onErase} />
    </main>
  );
}
