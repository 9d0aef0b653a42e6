"""One control's words: what ``control.toml`` spells, how a plan is rendered, how a program is marked and sealed."""
