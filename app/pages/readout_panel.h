#pragma once

#include <memory>
#include <optional>
#include <utility>
#include <vector>

#include "core/analysis/context_traces.h"
#include "widgets/inputs/section.h"

class QGridLayout;

namespace beatwitness::app {

class Document;

/// "At the cursor": time, wall clock, reference, every test, error and ratio of the test in front, the
/// channel shown under the overlay, phase and flags. Scrubbing changes texts only, never widgets.
class ReadoutPanel : public widgets::Section {
    Q_OBJECT

public:
    explicit ReadoutPanel(Document& document, QWidget* parent = nullptr);

    /// Session seconds, or nothing: then it says how to get a reading.
    void setCursor(std::optional<double> seconds);
    /// The channel that is shown too, and what it is called; nullptr for none.
    void setContext(std::shared_ptr<const analysis::ContextTrace> trace, const QString& name);

private:
    struct Row {
        QString name;
        QString value;
        int trace = noSwatch;
    };
    static constexpr int noSwatch = -2;
    static constexpr int referenceSwatch = -1;

    void refresh();
    [[nodiscard]] std::vector<Row> rowsAt(double seconds) const;
    [[nodiscard]] std::vector<Row> markRows(double seconds) const;
    void show(const std::vector<Row>& rows);
    void rebuild(const std::vector<Row>& rows);

    Document& document_;
    QGridLayout* grid_;
    QLabel* hint_;
    std::vector<Row> shown_;
    std::vector<std::pair<QLabel*, QLabel*>> labels_;  ///< name and value of each row
    std::optional<double> seconds_;
    std::shared_ptr<const analysis::ContextTrace> context_;
    QString contextName_;
};

}  // namespace beatwitness::app
