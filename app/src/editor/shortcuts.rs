//! Keys to actions, from the one table.

use crate::editor::actions::{ACTIONS, Action};
use crate::editor::requests::Requests;
use crate::editor::state::EditorState;
use egui::{Context, Key};

/// Reads the keys of this frame.
pub fn read(state: &EditorState, context: &Context, ask: &mut Requests) {
    if state.dialog.is_some() || state.commands.is_some() || state.canvas.dimension.is_some() {
        return;
    }
    let writes = context.text_edit_focused();
    let takes_text = state.canvas.tool.takes_text();
    let is_typing =
        takes_text && (state.canvas.tool.is_under_way() || !state.canvas.typed.is_empty());
    let mut rows: Vec<_> =
        ACTIONS.iter().filter_map(|row| row.key.map(|key| (row.action, key))).collect();
    // The key with more modifiers is meant first: Ctrl+Shift+Z before Ctrl+Z.
    rows.sort_by_key(|(_, key)| std::cmp::Reverse(u8::from(key.modifiers.shift)));
    for (action, key) in rows {
        let is_plain = key.modifiers.is_none();
        let is_for_text = writes
            && (is_plain || matches!(action, Action::Undo | Action::Redo | Action::SelectAll));
        let is_figure = is_plain
            && (is_digit(key.logical_key) || matches!(key.logical_key, Key::Minus | Key::Plus));
        let is_for_tool =
            (is_typing && is_plain && key.logical_key != Key::F1) || (takes_text && is_figure);
        if is_for_text || is_for_tool {
            continue;
        }
        if context.input_mut(|input| input.consume_shortcut(&key)) {
            ask.act(action);
        }
    }
}

const fn is_digit(key: Key) -> bool {
    matches!(
        key,
        Key::Num0
            | Key::Num1
            | Key::Num2
            | Key::Num3
            | Key::Num4
            | Key::Num5
            | Key::Num6
            | Key::Num7
            | Key::Num8
            | Key::Num9
    )
}
