import { exposeHost } from './expose.ts';

exposeHost();
