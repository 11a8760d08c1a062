// Scripts that complete commands, options and file names.
#include "shell/cli/internal/commands.hpp"

namespace penstock::cli {
namespace {

std::string joined(const std::vector<std::string>& words) {
  std::string out;
  for (const auto& word : words) out += (out.empty() ? "" : " ") + word;
  return out;
}

std::string names_of(const std::vector<CompletionEntry>& entries) {
  std::vector<std::string> names;
  for (const auto& entry : entries) names.push_back(entry.name);
  return joined(names);
}

std::string bash(const std::vector<CompletionEntry>& entries) {
  std::string out =
      "# bash completion for penstock:  source <(penstock completion bash)\n"
      "_penstock() {\n"
      "  local word=${COMP_WORDS[COMP_CWORD]} options=\n"
      "  if [ \"$COMP_CWORD\" -eq 1 ]; then\n"
      "    COMPREPLY=($(compgen -W \"" +
      names_of(entries) +
      "\" -- \"$word\"))\n"
      "    return\n"
      "  fi\n"
      "  case ${COMP_WORDS[1]} in\n";
  for (const auto& entry : entries) {
    out += "    " + entry.name + ") options=\"" + joined(entry.options) + "\" ;;\n";
  }
  out +=
      "  esac\n"
      "  case $word in\n"
      "    -*) COMPREPLY=($(compgen -W \"$options\" -- \"$word\")) ;;\n"
      "    *) COMPREPLY=($(compgen -f -- \"$word\")) ;;\n"
      "  esac\n"
      "}\n"
      "complete -o filenames -F _penstock penstock\n";
  return out;
}

// Inside single quotes of any of the three shells.
std::string in_quotes(std::string_view text) {
  std::string out = "'";
  for (const char c : text) out += c == '\'' ? std::string("'\\''") : std::string(1, c);
  return out + "'";
}

std::string zsh(const std::vector<CompletionEntry>& entries) {
  std::string out =
      "#compdef penstock\n"
      "# zsh completion for penstock:  source <(penstock completion zsh)\n"
      "_penstock() {\n"
      "  local -a commands options\n"
      "  commands=(\n";
  for (const auto& entry : entries)
    out += "    " + in_quotes(entry.name + ":" + entry.summary) + "\n";
  out +=
      "  )\n"
      "  if (( CURRENT == 2 )); then\n"
      "    _describe command commands\n"
      "    return\n"
      "  fi\n"
      "  case $words[2] in\n";
  for (const auto& entry : entries) {
    out += "    " + entry.name + ") options=(" + joined(entry.options) + ") ;;\n";
  }
  out +=
      "  esac\n"
      "  if [[ $PREFIX == -* ]]; then\n"
      "    compadd -- $options\n"
      "  else\n"
      "    _files\n"
      "  fi\n"
      "}\n"
      "compdef _penstock penstock\n";
  return out;
}

std::string fish(const std::vector<CompletionEntry>& entries) {
  std::string out = "# fish completion for penstock:  penstock completion fish | source\n";
  for (const auto& entry : entries) {
    out += "complete -c penstock -n __fish_use_subcommand -f -a " + entry.name + " -d " +
           in_quotes(entry.summary) + "\n";
    for (const auto& option : entry.options) {
      if (!option.starts_with("--")) continue;
      out += "complete -c penstock -n '__fish_seen_subcommand_from " + entry.name + "' -l " +
             option.substr(2) + "\n";
    }
  }
  return out;
}

}  // namespace

std::string completion_script(std::string_view shell, const std::vector<CompletionEntry>& entries) {
  if (shell == "bash") return bash(entries);
  if (shell == "zsh") return zsh(entries);
  if (shell == "fish") return fish(entries);
  return {};
}

}  // namespace penstock::cli
