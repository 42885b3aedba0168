// A new case from five measurements and a few choices.
#pragma once
#include <string>
#include <vector>

namespace raybend {

/// One question: the key of the case file that the answer stands for, or "designs".
struct NewCaseQuestion {
  std::string option;    ///< of `raybend new`
  std::string key;       ///< catalogue path
  std::string words;     ///< asked on a terminal
  std::string otherwise; ///< the answer that an empty line gives; "": there is none
};
const std::vector<NewCaseQuestion> &new_case_questions();

/// "" if the answer is allowed, else what is, with the nearest choice.
std::string why_not(const NewCaseQuestion &question, const std::string &answer);

/// The case file with comments. `answers`: one a question, each allowed.
std::string new_case_text(const std::vector<std::string> &answers);

} // namespace raybend
