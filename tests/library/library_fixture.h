#pragma once

#include <gtest/gtest.h>

#include <cstdint>
#include <filesystem>
#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "core/library/library.h"

namespace beatwitness::tests {

/// A folder of its own for each test, gone afterwards, and small sessions to store.
class LibraryFixture : public testing::Test {
protected:
    LibraryFixture();
    ~LibraryFixture() override;

    [[nodiscard]] std::filesystem::path path(const std::string& name = "harbour.library") const {
        return folder_ / name;
    }
    [[nodiscard]] std::vector<std::string> namesInFolder() const;

    /// Opens for writing, and makes it where it is not there.
    [[nodiscard]] library::Library opened() const;

    std::filesystem::path folder_;
};

/// Separated text with a row a second; the seed makes the bytes its own.
[[nodiscard]] std::string csvText(std::uint64_t seed, int rows);

/// What reading `text` under that name gives.
[[nodiscard]] std::shared_ptr<const library::ReadFile> readText(const std::string& name,
                                                                const std::string& text);

/// A strap and a band, a recording each.
[[nodiscard]] library::SessionDraft pairDraft(const std::string& name, std::uint64_t seed, int rows = 120);

/// Statements through SQLite itself, past our code. Returns the first column of the first row of the last.
std::string rawSql(const std::filesystem::path& file, const std::string& sql);

/// Runs `work` in a child process and returns what it returned; -1 where it died. `ordinaryUser`: a child of
/// root becomes nobody, whom permissions bind.
[[nodiscard]] int inChild(const std::function<int()>& work, bool ordinaryUser = false);

}  // namespace beatwitness::tests
