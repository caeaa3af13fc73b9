/** Version of the program, as files name it: that of package.json, held to it by a test. */
export const PROGRAM_VERSION = '0.1.0';
