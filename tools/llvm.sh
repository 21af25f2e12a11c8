# Sourced by tools/format and tools/lint, whose verdicts depend on the version of LLVM.

# Prints the command for a tool of LLVM 14. Elsewhere it says so and returns 3 (not judged), or 1 where CI is set,
# for there a check that is left out must not pass.
llvm_tool() {
    local command
    for command in "$1-14" "$1"; do
        if "$command" --version 2>/dev/null | grep -q 'version 14\.'; then
            echo "$command"
            return
        fi
    done
    echo "$1 14 is not installed, and other versions judge differently" >&2
    [ -z "${CI:-}" ] || return 1
    return 3
}
