// libxlsxwriter writes to files only, so the workbook is made in a folder of its own, which is gone afterwards. The library is opened when the first
// workbook is made: it brings a cryptographic library along, whose loading would take longer than most commands.

#include "spreadsheet.hpp"

#include <dlfcn.h>
#include <xlsxwriter.h>

#include <cstdlib>
#include <filesystem>

#include "oddplate/core/files.hpp"

namespace oddplate::report {
namespace {

constexpr const char* k_library = "libxlsxwriter.so.4";

#define ODDPLATE_SHEET_FUNCTIONS(X) \
    X(format_set_align) X(format_set_bold) X(format_set_text_wrap) X(lxw_strerror) X(workbook_add_format) X(workbook_add_worksheet) X(workbook_close) \
    X(workbook_new_opt) X(workbook_set_properties) X(worksheet_autofilter) X(worksheet_freeze_panes) X(worksheet_ignore_errors) X(worksheet_set_column) \
    X(worksheet_write_number) X(worksheet_write_string)

struct Library {
    std::string missing;   ///< "" where all is there
#define ODDPLATE_MEMBER(name) decltype(&::name) name{nullptr};
    ODDPLATE_SHEET_FUNCTIONS(ODDPLATE_MEMBER)
#undef ODDPLATE_MEMBER
};

Library opened() {
    Library all;
    void* const library = dlopen(k_library, RTLD_NOW | RTLD_LOCAL);
    if (library == nullptr) all.missing = k_library;
#define ODDPLATE_FIND(name) \
    if (all.missing.empty() && (all.name = reinterpret_cast<decltype(all.name)>(dlsym(library, #name))) == nullptr) all.missing = #name;
    ODDPLATE_SHEET_FUNCTIONS(ODDPLATE_FIND)
#undef ODDPLATE_FIND
    return all;
}

/// A folder that nobody else can look into, emptied and removed at the end.
class OwnFolder {
public:
    OwnFolder() {
        std::error_code none;
        std::string name = (std::filesystem::temp_directory_path(none) / "oddplate-XXXXXX").string();
        if (!none && mkdtemp(name.data()) != nullptr) m_path = name;
    }
    OwnFolder(const OwnFolder&) = delete;
    OwnFolder& operator=(const OwnFolder&) = delete;
    ~OwnFolder() {
        std::error_code left;   // what stays behind lies in the machine's folder for such things, and is the owner's alone
        if (!m_path.empty()) std::filesystem::remove_all(m_path, left);
    }
    [[nodiscard]] const std::string& path() const { return m_path; }

private:
    std::string m_path;
};

/// The looks that the sheets share.
struct Formats {
    lxw_format *heading, *plain;
};

lxw_error write_cell(const Library& lib, lxw_worksheet* sheet, std::size_t row, std::size_t column, const Cell& cell, lxw_format* format) {
    const auto r = static_cast<lxw_row_t>(row);
    const auto c = static_cast<lxw_col_t>(column);
    if (const auto* text = std::get_if<std::string>(&cell)) return lib.worksheet_write_string(sheet, r, c, text->c_str(), format);
    if (const auto* number = std::get_if<double>(&cell)) return lib.worksheet_write_number(sheet, r, c, *number, format);
    return LXW_NO_ERROR;
}

lxw_error add_sheet(const Library& lib, lxw_workbook* book, const Formats& formats, const Sheet& told) {
    lxw_worksheet* const sheet = lib.workbook_add_worksheet(book, told.name.c_str());
    if (sheet == nullptr) return LXW_ERROR_MEMORY_MALLOC_FAILED;
    for (std::size_t c = 0; c < told.widths.size(); ++c) {
        const auto column = static_cast<lxw_col_t>(c);
        if (const auto wrong = lib.worksheet_set_column(sheet, column, column, told.widths[c], nullptr)) return wrong;
    }
    for (std::size_t r = 0; r < told.rows.size(); ++r)
        for (std::size_t c = 0; c < told.rows[r].size(); ++c) {
            const bool heads = r == 0 && (told.is_table || c == 0);
            if (const auto wrong = write_cell(lib, sheet, r, c, told.rows[r][c], heads ? formats.heading : formats.plain)) return wrong;
        }
    if (!told.is_table || told.rows.empty() || told.rows.front().empty()) return LXW_NO_ERROR;
    lib.worksheet_freeze_panes(sheet, 1, 0);
    const auto last_row = static_cast<lxw_row_t>(told.rows.size() - 1);
    const auto last_column = static_cast<lxw_col_t>(told.rows.front().size() - 1);
    if (const auto wrong = lib.worksheet_autofilter(sheet, 0, 0, last_row, last_column)) return wrong;
    return lib.worksheet_ignore_errors(sheet, LXW_IGNORE_NUMBER_STORED_AS_TEXT, "A1:XFD1048576");   // codes are names, not numbers
}

lxw_error write_all(const Library& lib, lxw_workbook* book, const std::vector<Sheet>& sheets) {
    const Formats formats{.heading = lib.workbook_add_format(book), .plain = lib.workbook_add_format(book)};
    lib.format_set_bold(formats.heading);
    for (lxw_format* each : {formats.heading, formats.plain}) {
        lib.format_set_text_wrap(each);
        lib.format_set_align(each, LXW_ALIGN_VERTICAL_TOP);
    }
    lxw_doc_properties properties{};
    properties.created = 315532800;   // 1980-01-01, the zip format's own beginning; without it the clock's time stands there
    if (const auto wrong = lib.workbook_set_properties(book, &properties)) return wrong;
    for (const Sheet& sheet : sheets)
        if (const auto wrong = add_sheet(lib, book, formats, sheet)) return wrong;
    return LXW_NO_ERROR;
}

core::Error refused(const std::string& why) { return core::fault(core::ErrorKind::io, "no-spreadsheet", "the spreadsheet cannot be made: " + why); }

}   // namespace

core::Result<std::string> spreadsheet(const std::vector<Sheet>& sheets) {
    static const Library s_library = opened();
    if (!s_library.missing.empty()) return refused(s_library.missing + " is missing; install the package libxlsxwriter4");
    const OwnFolder folder;
    if (folder.path().empty()) return refused("there is no folder for temporary files");
    const std::string path = folder.path() + "/made.xlsx";
    std::string beside = folder.path();
    lxw_workbook_options options{};
    options.tmpdir = beside.data();
    lxw_workbook* const book = s_library.workbook_new_opt(path.c_str(), &options);
    if (book == nullptr) return refused("there is no memory for it");
    const lxw_error wrong = write_all(s_library, book, sheets);
    const lxw_error unclosed = s_library.workbook_close(book);   // frees it in any case
    if (wrong != LXW_NO_ERROR || unclosed != LXW_NO_ERROR) return refused(s_library.lxw_strerror(wrong != LXW_NO_ERROR ? wrong : unclosed));
    return core::read_file(path);
}

}   // namespace oddplate::report
