#include "tests/library/library_fixture.h"

#include <sqlite3.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <cstdlib>
#include <cstring>
#include <stdexcept>

#include "core/recording/digest.h"

namespace beatwitness::tests {

namespace fs = std::filesystem;

LibraryFixture::LibraryFixture() {
    std::string name = (fs::temp_directory_path() / "beatwitness-library-XXXXXX").string();
    if (::mkdtemp(name.data()) == nullptr) throw std::runtime_error{"no temporary folder"};
    ::chmod(name.c_str(), 0755);
    folder_ = name;
}

LibraryFixture::~LibraryFixture() {
    std::error_code ignored;
    fs::remove_all(folder_, ignored);
}

std::vector<std::string> LibraryFixture::namesInFolder() const {
    std::vector<std::string> names;
    for (const auto& entry : fs::directory_iterator(folder_))
        names.push_back(entry.path().filename().string());
    std::ranges::sort(names);
    return names;
}

library::Library LibraryFixture::opened() const {
    auto library = library::Library::open(path(), {.createIfAbsent = true});
    if (!library) throw std::runtime_error{sentence(library.fault())};
    return std::move(*library);
}

std::string csvText(std::uint64_t seed, int rows) {
    std::string text = "timestamp,hr\n";
    std::uint64_t state = seed * 2 + 1;
    int rate = 120;
    for (int row = 0; row < rows; ++row) {
        state = state * 6364136223846793005u + 1442695040888963407u;
        rate = std::clamp(rate + static_cast<int>((state >> 40) % 3) - 1, 60, 190);
        text += std::to_string(1930380000 + static_cast<std::int64_t>(seed) * 3600 + row) + "," +
                std::to_string(rate) + "\n";
    }
    return text;
}

std::shared_ptr<const library::ReadFile> readText(const std::string& name, const std::string& text) {
    std::vector<std::byte> bytes(text.size());
    std::memcpy(bytes.data(), text.data(), text.size());
    auto read = recording::readRecording(bytes);
    if (!read) throw std::runtime_error{sentence(read.fault())};
    const auto digest = recording::sha256(bytes);
    return std::make_shared<const library::ReadFile>(
        library::ReadFile{{name, digest, std::move(*read)}, std::move(bytes)});
}

library::SessionDraft pairDraft(const std::string& name, std::uint64_t seed, int rows) {
    using library::Role;
    using library::WearingOutcome;
    library::SessionDraft draft{name, "rowing ergometer", "A", "", {}};
    draft.wearings.push_back({Role::Reference, "strap", {}, WearingOutcome::Recorded, "", {}});
    draft.wearings.back().recordings.push_back(
        {readText(name + "-strap.csv", csvText(2 * seed, rows)), std::nullopt});
    draft.wearings.push_back({Role::Test, "band", {}, WearingOutcome::Recorded, "", {}});
    draft.wearings.back().recordings.push_back(
        {readText(name + "-band.csv", csvText(2 * seed + 1, rows)), std::nullopt});
    return draft;
}

std::string rawSql(const fs::path& file, const std::string& sql) {
    sqlite3* raw = nullptr;
    if (sqlite3_open(file.c_str(), &raw) != SQLITE_OK) throw std::runtime_error{"not opened"};
    std::string last;
    char* error = nullptr;
    const auto keep = [](void* to, int columns, char** values, char**) {
        auto& text = *static_cast<std::string*>(to);
        if (text.empty() && columns > 0 && values[0] != nullptr) text = values[0];
        return 0;
    };
    if (sqlite3_exec(raw, sql.c_str(), keep, &last, &error) != SQLITE_OK)
        last = std::string{"error: "} + error;
    sqlite3_free(error);
    sqlite3_close(raw);
    return last;
}

int inChild(const std::function<int()>& work, bool ordinaryUser) {
    const pid_t child = ::fork();
    if (child == 0) {
        constexpr unsigned nobody = 65534;
        if (ordinaryUser && ::geteuid() == 0 && (::setgid(nobody) != 0 || ::setuid(nobody) != 0)) ::_exit(99);
        ::_exit(work());
    }
    int status = 0;
    ::waitpid(child, &status, 0);
    return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

}  // namespace beatwitness::tests
