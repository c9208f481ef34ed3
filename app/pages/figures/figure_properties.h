#pragma once

#include <QScrollArea>
#include <functional>
#include <optional>
#include <vector>

#include "app/document/library_document.h"
#include "core/report/figures/figure_request.h"

class QLineEdit;
class QPlainTextEdit;
class QVBoxLayout;

namespace beatwitness::widgets {
class FieldList;
}

namespace beatwitness::app {

/// Everything that can be said of one figure: what it shows, its words, its look. Each change is one edit of
/// the library.
class FigureProperties : public QScrollArea {
    Q_OBJECT

public:
    explicit FigureProperties(LibraryDocument& library, QWidget* parent = nullptr);

    void showFigure(std::optional<library::FigureId> figure);
    /// The program's own words, shown where the figure has none of its own.
    void setOwnWords(const QString& title, const QString& subtitle, const QString& caption);
    void takeFocus();

protected:
    bool eventFilter(QObject* watched, QEvent* event) override;

private:
    using Figure = library::FigureParticulars;

    void follow();
    void rebuild();
    void refresh();
    void addContent(const Figure& figure, report::FigureKind kind);
    void addSession(widgets::FieldList& fields);
    void addDevices(widgets::FieldList& fields);
    void addShown(QVBoxLayout& column);
    void addWords();
    void addLook();
    void addCheck(QVBoxLayout& column, const QString& text, const QString& undo, bool& (*member)(Figure&));
    void takeCaption();
    void change(const QString& what, const std::function<void(Figure&)>& make);
    [[nodiscard]] const Figure* figure() const;
    [[nodiscard]] std::vector<std::int64_t> structure() const;
    [[nodiscard]] QVBoxLayout* section(const QString& title);

    LibraryDocument& library_;
    std::optional<library::FigureId> id_;
    std::vector<std::int64_t> shown_;  ///< what the fields were made for
    QVBoxLayout* column_ = nullptr;
    std::vector<widgets::FieldList*> lists_;
    std::vector<std::function<void(const Figure&)>> followers_;
    QLineEdit *titleEdit_ = nullptr, *subtitleEdit_ = nullptr;  ///< while caption_ is there
    QPlainTextEdit* caption_ = nullptr;
    QString title_, subtitle_, ownCaption_;
};

}  // namespace beatwitness::app
