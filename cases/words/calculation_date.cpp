// The date of a calculation, or SOURCE_DATE_EPOCH.
#include "cases/words/calculation_date.hpp"
#include "cases/words/words.hpp"
#include <cstdlib>
#include <ctime>
#include <stdexcept>

namespace raybend {

std::string calculation_date() {
  std::time_t seconds = std::time(nullptr);
  if (const char *given = std::getenv("SOURCE_DATE_EPOCH")) {
    const std::string text = given;
    // 11 digits last until the year 5138
    if (text.empty() || text.size() > 11 || text.find_first_not_of("0123456789") != std::string::npos)
      throw std::runtime_error("environment: SOURCE_DATE_EPOCH: found \"" + printable(text) +
                               "\"; allowed whole seconds since 1970");
    seconds = std::stoll(text);
  }
  std::tm utc{};
  gmtime_r(&seconds, &utc);
  char words[32];
  std::strftime(words, sizeof words, "%Y-%m-%dT%H:%M:%SZ", &utc);
  return words;
}

} // namespace raybend
