# Completion of crowndeck in bash, made by: crowndeck support bash
_crowndeck() {
    local word="${COMP_WORDS[COMP_CWORD]}" options
    case "${COMP_WORDS[1]}" in
        figures) options="--set --cylinder --at --json --help -h" ;;
        effects) options="--set --cylinder --target-ratio --json --help -h" ;;
        curves) options="--set --step --out --help -h" ;;
        sheet) options="--out --cylinder --lesson --page --dpi --at --every-cylinder --paper --sheets --help -h" ;;
        uncertainty) options="--set --doubt --cylinder --trials --seed --json --help -h" ;;
        shims) options="--margin --json --help -h" ;;
        limits) options="--json --help -h" ;;
        rings) options="--ring-temperature --bore-temperature --measured-at --json --help -h" ;;
        check) options="--help -h" ;;
        support) options="--help -h" ;;
        *) options="--renderer --help -h --version -V" ;;
    esac
    [ "$COMP_CWORD" = 1 ] && options="figures effects curves sheet uncertainty shims limits rings check support $options"
    COMPREPLY=($(compgen -W "$options" -- "$word") $(compgen -f -- "$word"))
}
complete -o filenames -F _crowndeck crowndeck
