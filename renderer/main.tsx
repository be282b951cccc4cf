import '@fontsource-variable/atkinson-hyperlegible-next/wght.css';
import '@mantine/core/styles.layer.css';
import './look/tokens.css';
import './look/base.css';
import './look/controls.css';
import './parts/parts.css';
import { localStorageColorSchemeManager, MantineProvider } from '@mantine/core';
import { QueryClient, QueryClientProvider } from '@tanstack/react-query';
import { setNonce } from 'get-nonce';
import { createRoot } from 'react-dom/client';
import { App } from './app.tsx';
import { theme, variablesFromTokens } from './look/theme.ts';

const nonce = document.querySelector<HTMLMetaElement>('meta[name="csp-nonce"]')?.content ?? '';
setNonce(nonce);

/** The program is on this computer: an answer is fresh until something is entered, and a refusal is not asked again. */
const queries = new QueryClient({
	defaultOptions: {
		queries: { retry: false, networkMode: 'always', staleTime: 30_000, refetchOnWindowFocus: true },
		mutations: { retry: false, networkMode: 'always' },
	},
});

const colours = localStorageColorSchemeManager({ key: 'fillmark-colours' });
const root = document.getElementById('root');
if (root) {
	createRoot(root).render(
		<QueryClientProvider client={queries}>
			<MantineProvider
				theme={theme}
				cssVariablesResolver={variablesFromTokens}
				defaultColorScheme="auto"
				colorSchemeManager={colours}
				getStyleNonce={() => nonce}
			>
				<App />
			</MantineProvider>
		</QueryClientProvider>,
	);
}
