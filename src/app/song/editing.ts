import type { Session } from '../kit/session.js';

/** What an action needs of the session. */
export type Editing = Pick<Session, 'song' | 'edit' | 'say' | 'view' | 'settings'>;
