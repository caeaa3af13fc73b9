/** Components bring their styles along; tests read only what they render. */
declare module '*.css';
