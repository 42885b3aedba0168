// What the pictures' font can draw.
#include "postprocess/canvas/picture_font.hpp"
#include "postprocess/text/text_table.hpp"
#include <vtkFreeTypeTools.h>
#include <vtkNew.h>
#include <vtkPath.h>
#include <vtkTextProperty.h>

namespace raybend {

namespace {

/// The code point that begins at `at` of a sound UTF-8 text; `at` moves behind it.
char32_t next_character(const std::string &text, std::size_t &at) {
  const auto byte = [&text](const std::size_t i) { return static_cast<unsigned char>(text[i]); };
  const unsigned first = byte(at++);
  char32_t code = first < 0x80   ? first
                  : first < 0xe0 ? first & 0x1f
                  : first < 0xf0 ? first & 0x0f
                                 : first & 0x07;
  for (; at < text.size() && (byte(at) & 0xc0) == 0x80; ++at)
    code = code << 6 | (byte(at) & 0x3f);
  return code;
}

/// True if the font draws something for the character: what it lacks has no outline.
bool has_outline(const char32_t code) {
  for (const bool bold : {false, true}) {
    vtkNew<vtkTextProperty> style;
    style->SetFontFamilyToArial();
    style->SetBold(bold);
    const auto glyph = vtkFreeTypeTools::GetInstance()->GetUnscaledGlyphOutline(style, code);
    if (glyph.Path == nullptr || glyph.Path->GetNumberOfPoints() == 0)
      return false;
  }
  return true;
}

} // namespace

bool drawable(const std::string &text) {
  constexpr char32_t blank = 0x20, blank_without_break = 0xa0, plain_end = 0x7f;
  const std::string line = one_line(text);
  for (std::size_t at = 0; at < line.size();) {
    const char32_t code = next_character(line, at);
    if (code >= blank && code < plain_end)
      continue;
    if (code != blank_without_break && !has_outline(code))
      return false;
  }
  return true;
}

} // namespace raybend
