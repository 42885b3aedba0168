// Text and numbers of a page.
#pragma once
#include <memory>
#include <string>

namespace raybend {

/// Text fit for a page's text and its attributes: markup in it is shown, not run; control characters become blanks.
std::string escaped(const std::string &text);

/// Numbers of summary.json as a page shows them: in a span with the number's place in that file (a JSON pointer) and
/// the digits behind the point, so that each can be looked up.
class PageNumbers {
public:
  explicit PageNumbers(const std::string &summary_json);
  ~PageNumbers();

  /// The number at that place; an en dash where there is none. `sign`: positive ones with "+".
  std::string value(const std::string &key, int digits = 0, bool sign = false) const;
  /// "value ± band"; a band that rounds to nothing reads "<1" or "<0.1".
  std::string banded(const std::string &key, const std::string &band_key, int digits = 0,
                     bool sign = false) const;
  double number(const std::string &key) const; ///< not a number where there is none

private:
  struct Document;
  std::unique_ptr<Document> document_;
};

} // namespace raybend
