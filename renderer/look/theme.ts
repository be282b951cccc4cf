import {
	Button,
	Checkbox,
	type CSSVariablesResolver,
	createTheme,
	Input,
	InputWrapper,
	type MantineColorsTuple,
	Modal,
	SegmentedControl,
	Select,
	Textarea,
	TextInput,
} from '@mantine/core';

/** Controls are drawn in ink: ten equal steps, because day, night and paper already differ in the tokens. */
const ink = Array.from({ length: 10 }, () => 'var(--ink)') as unknown as MantineColorsTuple;

const entry = {
	input: 'entry-input',
	label: 'entry-label',
	description: 'entry-description',
	error: 'entry-error',
};

/** The look of every control, from the tokens alone. */
export const theme = createTheme({
	fontFamily: 'var(--face)',
	headings: { fontFamily: 'var(--face)' },
	fontSizes: { xs: '13px', sm: '14px', md: '15px', lg: '18px', xl: '21px' },
	defaultRadius: 3,
	cursorType: 'pointer',
	focusRing: 'auto',
	primaryColor: 'ink',
	colors: { ink },
	shadows: { xs: 'none', sm: 'none', md: 'none', lg: 'none', xl: 'none' },
	components: {
		Button: Button.extend({ classNames: { root: 'button', label: 'button-label' } }),
		Input: Input.extend({ classNames: { input: 'entry-input' } }),
		InputWrapper: InputWrapper.extend({
			classNames: { label: 'entry-label', description: 'entry-description', error: 'entry-error' },
			defaultProps: { inputWrapperOrder: ['label', 'input', 'description', 'error'] },
		}),
		TextInput: TextInput.extend({ classNames: entry }),
		Textarea: Textarea.extend({ classNames: entry }),
		Select: Select.extend({ classNames: { ...entry, dropdown: 'options', option: 'option' } }),
		Checkbox: Checkbox.extend({ classNames: { input: 'check-input', label: 'check-label', icon: 'check-icon' } }),
		SegmentedControl: SegmentedControl.extend({
			classNames: { root: 'choices-root', label: 'choices-label', indicator: 'choices-indicator' },
			defaultProps: { withItemsBorders: true },
		}),
		Modal: Modal.extend({
			classNames: {
				content: 'dialog-sheet',
				header: 'dialog-head',
				title: 'dialog-title',
				body: 'dialog-body',
				close: 'dialog-close',
			},
			defaultProps: { transitionProps: { duration: 0 }, overlayProps: { backgroundOpacity: 0.45 } },
		}),
	},
});

const fromTokens = {
	'--mantine-color-body': 'var(--paper)',
	'--mantine-color-text': 'var(--ink)',
	'--mantine-color-bright': 'var(--ink)',
	'--mantine-color-dimmed': 'var(--quiet)',
	'--mantine-color-placeholder': 'var(--quiet)',
	'--mantine-color-anchor': 'var(--ink)',
	'--mantine-color-default': 'var(--sheet)',
	'--mantine-color-default-hover': 'var(--paper)',
	'--mantine-color-default-color': 'var(--ink)',
	'--mantine-color-default-border': 'var(--edge)',
	'--mantine-color-error': 'var(--brick)',
	'--mantine-color-disabled': 'var(--paper)',
	'--mantine-color-disabled-color': 'var(--quiet)',
};

/** The component library's own variables, answered from our tokens in both schemes. */
export const variablesFromTokens: CSSVariablesResolver = () => ({
	variables: {},
	light: fromTokens,
	dark: fromTokens,
});
