#pragma once

#include <QDialog>
#include <filesystem>
#include <memory>
#include <optional>
#include <vector>

#include "core/library/read_file.h"
#include "core/recording/text_peek.h"
#include "widgets/background/task_runner.h"

class QComboBox;
class QLabel;
class QPushButton;
class QTableWidget;

namespace beatwitness::widgets {
class TraceStrip;
}

namespace beatwitness::app {

/// "Read as": overrules what a reader guessed of a text's layout, with the first rows of the file and what
/// comes of it in sight.
class LayoutDialog : public QDialog {
    Q_OBJECT

public:
    /// `options`: how it was read last.
    LayoutDialog(const std::filesystem::path& file, recording::ReadOptions options,
                 QWidget* parent = nullptr);
    ~LayoutDialog() override;

    /// As chosen. Requires: accepted, for all but tests.
    [[nodiscard]] recording::ReadOptions options() const;
    /// What came of it; nullptr while it is read and where it could not be.
    [[nodiscard]] const std::shared_ptr<const library::ReadFile>& result() const { return result_; }

private:
    using Read = Result<std::shared_ptr<const library::ReadFile>>;

    QWidget* makeForm();
    void takeBytes(const Result<std::vector<std::byte>>& bytes);
    void fillColumns();
    void fillTable();
    void readAgain();
    void showResult(const Read& read);

    std::filesystem::path file_;
    recording::ReadOptions asked_;
    std::shared_ptr<const std::vector<std::byte>> bytes_;
    std::optional<recording::TextPeek> peek_;
    std::shared_ptr<const library::ReadFile> result_;
    QComboBox *time_, *rate_, *separator_, *zone_;
    QTableWidget* table_;
    QLabel *outcome_, *details_;
    widgets::TraceStrip* strip_;
    QPushButton* accept_ = nullptr;
    bool filling_ = false;
    widgets::TaskRunner runner_;  // last: it works on what stands above
};

}  // namespace beatwitness::app
