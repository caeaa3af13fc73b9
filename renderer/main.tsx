import './ui/tokens.css';
import './ui/base.css';
import './ui/shell.css';
import './ui/panel.css';
import { createRoot } from 'react-dom/client';
import { App } from './App.tsx';
import { begin } from './commands/begin.ts';

const root = document.getElementById('root');
if (!root) throw new Error('index.html has no #root');
begin();
createRoot(root).render(<App />);
