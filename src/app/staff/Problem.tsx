import styles from './Staff.module.css';

/** Why something that staff asked for was not done; nothing when it was. */
export const Problem = ({ text }: { text: string }) =>
  text && (
    <p className={styles.problem} role="alert">
      {text}
    </p>
  );
