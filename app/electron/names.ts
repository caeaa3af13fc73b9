/** Names that the main process and the preload share. */
export const CALL_CHANNEL = 'pearlash:call';
export const OPEN_CHANNEL = 'pearlash:open';

export const SCHEME = 'app';
export const WINDOW_ORIGIN = `${SCHEME}://pearlash`;
export const WINDOW_ADDRESS = `${WINDOW_ORIGIN}/`;
