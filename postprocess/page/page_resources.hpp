// Texts that CMake builds in (page_resources.cpp.in).
#pragma once

namespace raybend {

extern const char *const page_style, *const page_script, *const three_script, *const three_licence;

} // namespace raybend
